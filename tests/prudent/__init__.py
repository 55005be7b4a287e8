"""Dangerous, foolish and quiet situations, with what a prudent officer expects of the advice in each."""
