"""Lines that might lead otherwise, or be more: which help most, and what they cost the others.

places     where fittings stand, what leads cross    limits    which leads may be proposed at all
one_more   the extra line that adds most             cost      what it does to the others, and to the rounds
"""
