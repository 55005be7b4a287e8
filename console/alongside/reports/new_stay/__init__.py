"""A stay file by asking: a list of questions, answers -> texts of the files, and where one is. All of it is
pure; `cli/new.py` and `screens/new_stay/` put the questions, `kept.py` keeps the answers."""
