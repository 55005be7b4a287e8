"""What a stay file says that can hardly be meant: remarks on a file without faults of form.

A fault makes a file unreadable; a remark doubts a value, names what is usual and what may be meant, and
leaves the decision to who knows the ship. Gates are common practice unless their constant names a source.

model    a remark                     afloat   leads, draughts and tide at making fast
ship     hull, marks, areas, weights; winches  berth    bollards, fenders, depth
ropes    strength, curve, tail        lines    leads, roles, tensions, names
fittings SWL of chocks, bitts, dolphins
guesses  what is a guess, and how much it matters, by worst_line
plans    tide, cargo, dates           limits   shares in per cent
gauges   fields, ranges, ages             watched  what is not watched, and why
table    one row a line
"""
