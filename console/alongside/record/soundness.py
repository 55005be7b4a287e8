"""A journal tried before a watch goes on with it, in bounded time however large it is."""

import sqlite3
import time
from collections.abc import Callable
from typing import Final

from alongside.record.faults import WrongRecord

FIRST: Final = ("meta", "runs", "memories", "events", "actions")
"""Small tables, tried whole; on the first three rests with what a watch goes on."""
LONGEST_S: Final = 2.0
PIECE: Final = 2_000
"""States read at once."""


def try_journal(
    journal: sqlite3.Connection, longest: float = LONGEST_S, clock: Callable[[], float] = time.monotonic
) -> bool:
    """Raise WrongRecord, or sqlite3.Error, for a journal whose tables are damaged. Return False where the
    time was over before the oldest states had been read."""
    until = clock() + longest
    for table in FIRST:
        found = journal.execute(f"PRAGMA quick_check('{table}')").fetchone()[0]
        if found != "ok":
            raise WrongRecord(f"table {table}: {found}, expected a sound one")
    newest = journal.execute("SELECT max(seq) FROM states").fetchone()[0] or 0
    asked = "SELECT count(*), sum(length(state)) FROM states WHERE seq > ? AND seq <= ?"
    while newest > 0 and clock() < until:
        journal.execute(asked, (newest - PIECE, newest)).fetchone()
        newest -= PIECE
    return newest <= 0
