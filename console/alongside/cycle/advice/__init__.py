"""The sentence always in sight: whether something must be done, and what, in plain words.

It says one thing, the worst; it names a deed only where that deed helps, and why a figure moves only where
tide or draught explain the way it moves. It advises; the master's judgement stands above it.
"""
