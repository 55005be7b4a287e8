"""The life of each rope and each tail, over as many stays as there are records of.

    write_lives(records, csv, json)

The figures that a ship's line management plan keeps by rope (MSC.1/Circ.1620, on inspection and maintenance
of mooring equipment including lines, has every line and tail identified and its records kept): hours made
fast, highest load, cycles of load, time above the working load limit.
"""
