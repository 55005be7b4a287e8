"""The record of a stay: a folder in which nothing that the watch saw or did is lost.

`journal.sqlite` holds events, actions, states and memories; `feeds-….log[.gz]` what the gauges said, byte
for byte; `now-a`, `now-b` the last second for a second console; `lock` says who writes.

    recorder = Recorder(folder, run)    # the one that writes
    record = RecordReader(folder)       # any number that read
"""
