"""An exercise made of a real stay: a record, or a stay with its log, cut about a moment.

source      the stay as it stood then, what it rests on, and what was done on deck until the exercise begins
cut         the feed log between two times, as it was written
stay_copy   the stay file without its comments, with what was changed on deck, in one file
moment      how it went on: what the lines had out, what was raised, how it blew
proposals   injections, each with the reason
text        the exercise file
write       all of it, tried before it takes its place
"""
