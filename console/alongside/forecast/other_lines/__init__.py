"""Lines that might lead otherwise, or be more: which help most, and what they cost the others.

places     where fittings stand, what leads cross    limits    which leads may be proposed at all
one_more   the extra line that adds most             cost      what it does to the others, and to the rounds
arrange    the best arrangement of all lines         options   how each may lead, and which go together
farther    lines led to farther bollards
bound      what no arrangement holds more than       trial     sets of lines to try
"""
