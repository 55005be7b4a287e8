"""Exercises: a recorded stay with gusts, dead gauges and forgotten lines put into it, to be lived through.

file      the exercise file, read with the vocabulary of stay files; `bounds`: what must fit together in it
spoil     what becomes of raw values before anything judges them
staging   what becomes of lines and gear
run       the stay as it goes with given actions
score     what was seen, acknowledged and done, and when
plan      the fewest rounds with hindsight
effects   what came of each act
debrief   all of it together; `telling` as text, `telling_json` for other programs
"""
