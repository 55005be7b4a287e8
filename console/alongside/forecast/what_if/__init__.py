"""What if: lengths, lines, tugs, wind, tide or current are others; and what is lost by it."""
