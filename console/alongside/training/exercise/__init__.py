"""Exercises: a recorded stay with gusts, dead gauges and forgotten lines put into it, for training.

file            the exercise file, read with the vocabulary of stay files; `checks`: what must fit together
spoilt_gauges   changes raw values before anything checks them: gauges, wind, water, cargo
staging         changes lines and gear while the log is played
run             plays the exercise with given actions
score           when each alert was seen, acknowledged and acted upon
best_plan       the fewest rounds with hindsight
yardstick       how things stand at the start, with nothing done and with the best plan; `kept_yardstick`
effects         which actions took effect, and why others did not
debrief         all of it together; `debrief_text` to read, `debrief_json` for other programs
"""
