"""An instructor's station: a second console on an exercise that is lived through.

The two consoles share a folder (`record.attempt`) and no more. The trainee's keeps in it what was ordered and
what the instructor did; the instructor's plays the same exercise from the same orders, and so has the same
picture. `trainee_desk` is the one, `instructor_desk` the other; `story` is what the rows of the folder add
up to.
"""
