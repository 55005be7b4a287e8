"""Winch brakes as a question: did the brake of a line that was over its holding slip, or did it hold?

From the first instant at which a load passes its brake's holding until the answer is on record, two states
are carried on side by side: *held*, in which all lengths stand, and *slipped*, in which each such line was
limited to the holding and what ran out stays out. Neither is fact until the watch, or a good load cell, has
answered; only then do lengths change.
"""
