"""Enter one inspection after another and print each when it is kept, until killed: `DB FIRST COUNT`."""

import sys
from pathlib import Path

from alongside.reports.ropes.keeping import keep
from tests.record.ropes.kept import NOW, entry

if __name__ == "__main__":
    database, first, count = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    keep(database, entries=[entry(deed="certificate", mbl_kn=200.0)], now=NOW, who="TK")
    for number in range(first, first + count):
        keep(database, entries=[entry(note=f"number {number}")], now=NOW, who="TK")
        print(number, flush=True)
