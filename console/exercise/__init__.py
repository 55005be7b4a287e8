"""Exercises: a recorded stay with gusts, dead gauges and forgotten lines put into it, to be lived through.

file      the exercise file, read with the vocabulary of stay files
spoil     what becomes of raw values before anything judges them
staging   what becomes of lines and gear
run       the stay as it goes with given actions
score     what was seen, acknowledged and done, and when
plan      the fewest rounds with hindsight
debrief   all of it together; `telling` as text and as JSON
"""
