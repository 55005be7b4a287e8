"""The stay as a page to read and print, and as tables: what was known, what was done, and when.

    write_report(record, out, tables)

Record -> `RecordArrays` (plain arrays and lists) -> figures, alerts, holding power -> words, charts, tables
-> page.
"""
