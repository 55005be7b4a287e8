"""Exercises: a recorded stay with gusts, dead gauges and forgotten lines put into it, to be lived through.

file            the exercise file, read with the vocabulary of stay files; `checks`: what must fit together
spoilt_gauges   what becomes of raw values before anything judges them
staging         what becomes of lines and gear
run             the stay as it goes with given actions
score           what was seen, acknowledged and done, and when
best_plan       the fewest rounds with hindsight
effects         what came of each act
debrief         all of it together; `debrief_text` to read, `debrief_json` for other programs
"""
