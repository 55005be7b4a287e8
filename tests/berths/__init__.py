"""Berths and winches as they are, each with values worked by hand."""
