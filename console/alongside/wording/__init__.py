"""Numbers, times and names of things, in words and marks."""
