"""Numbers, times and names of things into words, once for screens, alerts, commands and reports.

figures  a number with its unit           times  clock, day, zone, length of time
names    channels, causes, what gives     marks  stages, what is not known
safe     text from outside                actions what the watch did
cautions what stands above all figures
"""
