"""What all pages that print on A4 have in common: one style, one way to draw, the words of their
templates."""
