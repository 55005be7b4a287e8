"""Begin a change so large that it is on the disk before it is whole, say so, and wait to be killed: `DB`."""

import sys
import time
from pathlib import Path

from alongside.record.ropes.database import database_to_write
from alongside.record.ropes.store import enter
from tests.record.ropes.kept import NOW, entry

if __name__ == "__main__":
    with database_to_write(Path(sys.argv[1])) as database:
        database.execute("PRAGMA cache_size = 4")
        for number in range(300):
            enter(database, entry(note=f"never whole {number}" + 500 * "x"), NOW)
        print("written", flush=True)
        time.sleep(600)
