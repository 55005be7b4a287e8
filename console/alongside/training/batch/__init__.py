"""A batch: many stays played without a screen, each in a process or on a worker of its own.

stays       which stays and logs are meant, and under which name each is kept
task        one of them, with all that is asked for; what is handed to a process
drawn       variations of one stay: tide, wind, lengths, ropes
one_stay    what is done with one: taken as it is there, played, or its fault written down
played      plays one, judges it and writes what came of it
kept        what is there already and need not be done again
"""
