"""What a batch of stays comes to: figures of each, the alarm load over all, tables for other programs.

outcome         figures of one stay, as they stand in its file
alert_counts    alerts of one stay by cause and stage, and how long it was in each stage
highest         highest figures of one stay, gathered while it is played
alarm_load      how many alerts an hour, which come and go, which stand: of one stay, added up over all
draws           how often a drawn stay would have been in alarm, with an interval for the share
summary         all of it as tables and a JSON document; `summary_text` to read
"""
