"""What can still be read of a damaged journal, taken over into a new one."""

import os
import sqlite3
import time
import zlib
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from alongside.record.access import Access
from alongside.record.chain import COLUMNS, head, is_chained
from alongside.record.entries import unpack_memory
from alongside.record.faults import WrongRecord
from alongside.record.reader import columns_of, event_of, stay_of
from alongside.record.schema import open_to_read, open_to_write

LONGEST_S: Final = 5.0
"""A watch that waits for what is left of its past is a watch that is not kept."""
ORDER: Final = ("runs", "memories", "events", "actions", "states")
LARGEST_STEP: Final = 1 << 40

Row = Sequence[Any]


@dataclass(frozen=True, slots=True)
class Salvaged:
    """How many rows were taken over: `events` are events and actions, `lost_events` those that were there as
    well as far as that is known; `in_time`: all states were tried."""

    events: int
    lost_events: int
    states: int
    in_time: bool


def salvage(damaged: Path, journal: Path, access: Access, longest: float = LONGEST_S) -> Salvaged | None:
    """Write what can be read of a damaged journal into a new one, all of it or nothing; None where that is
    nothing. Newest states first, as many as the time allows. Raises sqlite3.Error, OSError, WrongRecord."""
    part = journal.with_name(f"{journal.name}.part")
    part.unlink(missing_ok=True)
    access.make_file(part)
    try:
        with closing(open_to_read(damaged)) as old, closing(open_to_write(part)) as new:
            salvaged = _taken_over(old, new, time.monotonic() + longest)
    except BaseException:
        _remove(part)
        raise
    if salvaged is None:
        _remove(part)
    else:
        os.replace(part, journal)
    return salvaged


def _remove(part: Path) -> None:
    for suffix in ("", "-wal", "-shm"):
        part.with_name(part.name + suffix).unlink(missing_ok=True)


def _taken_over(old: sqlite3.Connection, new: sqlite3.Connection, until: float) -> Salvaged | None:
    counts = dict.fromkeys(ORDER, 0)
    runs: set[int] = set()
    in_time = True
    new.execute("BEGIN IMMEDIATE")
    for table in ORDER:
        columns = _columns(old, table)
        put = f"INSERT INTO {table} ({', '.join(columns)}) VALUES ({', '.join('?' * len(columns))})"
        for row in _rows(old, table, columns, newest_first=table == "states"):
            if table == "states" and time.monotonic() > until:
                in_time = False
                break
            if not _is_good(table, dict(zip(columns, row, strict=True)), runs):
                continue
            new.execute(put, row)
            counts[table] += 1
            if table == "runs":
                runs.add(row[0])
    events = counts["events"] + counts["actions"]
    there = _there(old)
    for key, value in _meta(old):
        new.execute("INSERT OR REPLACE INTO meta VALUES (?, ?)", (key, value))
    new.execute("COMMIT")
    if not runs:
        return None
    return Salvaged(events, max(0, there - events), counts["states"], in_time)


def _columns(old: sqlite3.Connection, table: str) -> list[str]:
    return [row[1] for row in old.execute(f"PRAGMA table_info({table})")]


def _rows(old: sqlite3.Connection, table: str, columns: Sequence[str], newest_first: bool) -> Iterator[Row]:
    """Yield rows in order of their number, past what cannot be read: by steps that grow until the next is
    found."""
    sign, order = ("<", "DESC") if newest_first else (">", "ASC")
    asked = f"SELECT {', '.join(columns)} FROM {table} WHERE rowid {sign} ? ORDER BY rowid {order}"
    at, step = (LARGEST_STEP if newest_first else 0), 1
    if newest_first:
        at = _newest(old, table) + 1
    while step < LARGEST_STEP and at >= 0:
        try:
            for row in old.execute(asked, (at,)):
                yield row
                at, step = row[0], 1
            return
        except sqlite3.DatabaseError:
            at += -step if newest_first else step
            step *= 2


def _newest(old: sqlite3.Connection, table: str) -> int:
    try:
        return int(old.execute(f"SELECT max(rowid) FROM {table}").fetchone()[0] or 0)
    except sqlite3.DatabaseError:
        return 1 << 24  # more than any record has


def _is_good(table: str, row: dict[str, Any], runs: set[int]) -> bool:
    """Return True for a row that can be read as what it should be."""
    try:
        if table == "runs":
            stay_of(row["stay"])
            columns_of(row["columns"])
            return isinstance(row["started"], float)
        if row["run"] not in runs or not isinstance(row["time"], float):
            return False
        _READ[table](row)
    except (WrongRecord, zlib.error, TypeError, ValueError):
        return False
    return True


def _event(row: dict[str, Any]) -> object:
    return event_of([row[name] for name in COLUMNS["events"].split(", ")[2:]])


_READ: Final[dict[str, Callable[[dict[str, Any]], object]]] = {
    "events": _event,
    "actions": lambda row: row["action"].encode(),
    "memories": lambda row: unpack_memory(row["memory"]),
    "states": lambda row: zlib.decompress(row["state"]),
}


def _there(old: sqlite3.Connection) -> int:
    """Return how many events and actions there were, 0 where that cannot be read."""
    try:
        if is_chained(old) and (links := head(old)[0]):
            return links
        return sum(_newest(old, table) for table in COLUMNS if _newest(old, table) < 1 << 24)
    except sqlite3.DatabaseError:
        return 0


def _meta(old: sqlite3.Connection) -> list[Row]:
    try:
        return old.execute("SELECT key, value FROM meta").fetchall()
    except sqlite3.DatabaseError:
        return []
