"""Which files make a copy of a record whole, and which of them are not there."""

import sqlite3
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from math import nan
from pathlib import Path
from typing import Final

from alongside.record.access import Access
from alongside.record.feedfiles import feed_logs
from alongside.record.layout import COPIES, WAL

STATE: Final = "journal"
"""Key in `meta`: where the newest part of the journal is."""
FEEDS: Final = "feeds-"
"""What the keys in `meta` begin with that are names of feed logs."""
IN_WAL: Final = "in -wal"
"""Rows came after the journal file was last brought up to date: who reads this has them."""
IN_FILE: Final = "more in -wal"
"""So the journal file says by itself while a watch writes it."""
CLOSED: Final = "whole"

PAGE: Final = """\
This folder is the record of one stay, kept by `alongside watch`.

To copy it, copy the whole folder. Best end the watch before: then everything is in its files.
These belong to a whole copy:

  journal.sqlite       events, actions, states, and what the watch remembers
  journal.sqlite-wal   where it is there: the newest part of journal.sqlite; both or neither
  feeds-*.log          what the gauges said, one file an hour or more; older ones end in .gz
  feeds-*.log.gz
  journal-corrupt-*    where it is there: a journal that was damaged, kept aside

These do not: now-a, now-b, lock, lock-holder, journal.sqlite-shm, RECORD.txt.

`alongside report FOLDER` and `alongside handover FOLDER` say which piece is missing from a copy, and
whether the record was changed after it was written.
"""


@dataclass(frozen=True, slots=True)
class Missing:
    """What is not there: the newest part of the journal, with the time of the last row that is; feed logs by
    their names."""

    wal: bool = False
    journal_until: float = nan
    logs: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return self.wal or bool(self.logs)


def missing_from(journal: sqlite3.Connection, folder: Path, until: float) -> Missing:
    """Return what a record misses; `until` is the time of the last row of its journal."""
    state = journal.execute("SELECT value FROM meta WHERE key = ?", (STATE,)).fetchone()
    wal = folder / WAL
    there = wal.exists() and wal.stat().st_size > 0
    behind = state == (IN_FILE,) and (not there or not _reads_wal(journal))
    begun = journal.execute("SELECT key FROM meta WHERE key GLOB ? ORDER BY key", (f"{FEEDS}*",))
    names = {plain_name(path) for path in feed_logs(folder)}
    return Missing(behind, until, tuple(name for (name,) in begun if name not in names))


def _reads_wal(journal: sqlite3.Connection) -> bool:
    """Return False for a connection that takes the journal file as all there is, as on a disk that cannot be
    written."""
    return bool(journal.execute("PRAGMA journal_mode").fetchone()[0] == "wal")


def plain_name(log: Path) -> str:
    """Return the name of a feed log as it was begun, whether it is compressed by now or not."""
    return log.name.removesuffix(".gz")


def keep_logs(journal: sqlite3.Connection, names: Iterable[str]) -> None:
    """Put on record that feed logs were begun."""
    journal.executemany("INSERT OR IGNORE INTO meta VALUES (?, '')", [(name,) for name in names])


def keep_state(journal: sqlite3.Connection, state: str) -> None:
    journal.execute("INSERT OR REPLACE INTO meta VALUES (?, ?)", (STATE, state))


def write_page(folder: Path, access: Access) -> None:
    """Write what belongs to a copy, for who has the folder only. A file that is not ours is left alone, so
    is a disk that does not take it."""
    path = folder / COPIES
    with suppress(OSError):
        there = path.read_text(encoding="utf-8", errors="replace") if path.exists() else ""
        if there != PAGE and (not there or there.startswith(PAGE.splitlines()[0])):
            access.make_file(path)
            path.write_text(PAGE, encoding="utf-8")
