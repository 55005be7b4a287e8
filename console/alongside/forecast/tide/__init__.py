"""Tide ahead: from a table of high and low water, or from harmonic constants."""
