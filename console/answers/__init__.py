"""Answers of the command line to questions about a stay: rows to read, and JSON for other programs."""
