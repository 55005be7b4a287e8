"""The ropes of a ship by serial number: what each went through in a record, and their history kept.

    uses_in(record)                     each rope and tail in one record
    with database_to_read(path) as it   entries, imports and uses that were kept

A database is one file in rollback mode: it may be copied while nobody writes it, and a process that dies
leaves it as it was before.
"""
