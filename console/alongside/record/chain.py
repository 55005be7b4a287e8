"""Events and actions chained by a hash, so that it shows where one was changed, taken out or put in.

Each row bears its number in the chain (`link`) and `hash`: SHA-256 over the hash of the link before it and
its own bytes. These are JSON in ASCII, without spaces: the table, the link, all other columns in order, a
number of the type REAL as the unsigned integer of its 64 bits (IEEE 754), and last the SHA-256 of the row of
its run, made in the same way. So the stay file as it was read is in the chain too. Before the first link
stand 32 zero bytes, or the SHA-256 of what an older program had put on record. `meta` holds the last link and
its hash, so that an end that was cut off shows.
"""

import hashlib
import heapq
import json
import sqlite3
import struct
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf, isnan
from typing import Any, Final, Literal

COLUMNS: Final = {
    "events": "seq, run, time, event, alert, subject, stage, line, value, threshold, text",
    "actions": "seq, run, time, kind, action",
}
RUN: Final = "run, started, program, stay, stay_sha256, stay_text, columns"
HEAD: Final = "chain"
"""Key in `meta`; its value: link and hash."""
BEFORE_ALL: Final = bytes(32)
CHAINED: Final = "typeof(link) = 'integer'"
OLD: Final = f"NOT {CHAINED} AND seq < (SELECT ifnull(min(seq), 9e18) FROM {{0}} WHERE {CHAINED})"
"""Rows put on record before there was a chain."""
FORMAT: Final = 2
"""Of journals with a chain."""

Kind = Literal["changed", "missing", "added", "cut off"]


@dataclass(frozen=True, slots=True)
class Link:
    """A place in the chain: a row of `events` or `actions`, and its time."""

    number: int
    table: str
    seq: int
    time: float
    hash: bytes


@dataclass(frozen=True, slots=True)
class Break:
    """Where the chain is broken, and how: `missing` after a row (None: at the beginning), `count` of them;
    `changed`, which may as well be the row before; `added` without its place in the chain."""

    kind: Kind
    at: Link | None
    count: int = 1


@dataclass(frozen=True, slots=True)
class Chain:
    """What was looked at from `first` on. `before`: events and actions that an older program put on record,
    which bear no hash, the last of them at `before_until`."""

    events: int
    actions: int
    last: Link | None
    breaks: tuple[Break, ...]
    before: int = 0
    before_until: float = -inf

    @property
    def whole(self) -> bool:
        return not self.breaks


def digest(previous: bytes, table: str, link: int, row: Sequence[Any], run: str) -> bytes:
    """Return the hash of a link: that of `row`, in the order of its COLUMNS, behind the one before."""
    return hashlib.sha256(previous + _bytes([table, link, *row, run])).digest()


def run_digest(journal: sqlite3.Connection, run: int) -> str:
    """Return the SHA-256 of the row of a run."""
    row = journal.execute(f"SELECT {RUN} FROM runs WHERE run = ?", (run,)).fetchone()
    return hashlib.sha256(_bytes(["runs", *(row or ())])).hexdigest()


def head(journal: sqlite3.Connection) -> tuple[int, bytes]:
    """Return the last link and its hash, as they were kept, else those of the last row; 0 before the
    first."""
    kept = _kept_head(journal)
    if kept is not None:
        return kept
    asked = f"SELECT link, hash FROM {{0}} WHERE {CHAINED} ORDER BY link DESC LIMIT 1"
    rows = [row for table in COLUMNS for row in journal.execute(asked.format(table))]
    return max(rows) if rows else (0, beginning(journal))


def beginning(journal: sqlite3.Connection) -> bytes:
    """Return what the first link stands on: the hash of all that was there before, zeros for nothing."""
    hashed, empty = hashlib.sha256(), True
    for table, columns in COLUMNS.items():
        for row in journal.execute(f"SELECT {columns} FROM {table} WHERE {OLD.format(table)} ORDER BY seq"):
            hashed.update(_bytes([table, *row]))
            empty = False
    return BEFORE_ALL if empty else hashed.digest()


def _kept_head(journal: sqlite3.Connection) -> tuple[int, bytes] | None:
    row = journal.execute("SELECT value FROM meta WHERE key = ?", (HEAD,)).fetchone()
    try:
        link, mark = str(row[0]).split() if row else ("", "")
        return int(link), bytes.fromhex(mark)
    except ValueError:
        return None


def keep_head(journal: sqlite3.Connection, link: int, mark: bytes) -> None:
    journal.execute("INSERT OR REPLACE INTO meta VALUES (?, ?)", (HEAD, f"{link} {mark.hex()}"))


def is_chained(journal: sqlite3.Connection) -> bool:
    """Return True for a journal whose format has a chain."""
    return bool(journal.execute("PRAGMA user_version").fetchone()[0] >= FORMAT)


def read_chain(journal: sqlite3.Connection, until: float = inf, newest: int | None = None) -> Chain:
    """Return the state of the chain up to the last row at or before a time, or of its `newest` links only."""
    if not is_chained(journal):
        return Chain(0, 0, None, (), *_old(journal, until))
    begins = None if newest is None else head(journal)[0] - newest
    last = None if until == inf else _last_until(journal, until)
    rows = heapq.merge(*(_rows(journal, table, begins, last) for table in COLUMNS), key=lambda row: row[1])
    walk = _Walk(journal, 0 if begins is None else max(0, begins))
    for table, link, mark, row in rows:
        walk.step(table, link, mark, row)
    if last is None:
        walk.end(_kept_head(journal))
    added = () if begins is not None else _added(journal, until)
    counts = walk.counts
    before = _old(journal, until)
    return Chain(counts["events"], counts["actions"], walk.last, (*walk.breaks, *added), *before)


class _Walk:
    """One way along the chain, link by link."""

    def __init__(self, journal: sqlite3.Connection, begins: int) -> None:
        self._journal = journal
        self._runs: dict[Any, str] = {}
        self._previous: bytes | None = beginning(journal) if not begins else None
        """None where it is not known: what comes next cannot be tried, and is taken as it is."""
        self._expected = begins + 1
        self.counts = dict.fromkeys(COLUMNS, 0)
        self.last: Link | None = None
        self.breaks: list[Break] = []

    def step(self, table: str, link: int, mark: bytes, row: Sequence[Any]) -> None:
        here = Link(link, table, row[0], row[2], bytes(mark) if isinstance(mark, bytes) else b"")
        if link < self._expected:
            self.breaks.append(Break("added", here))
            return
        if link > self._expected:
            self.breaks.append(Break("missing", self.last, link - self._expected))
            self._previous = None
        if row[1] not in self._runs:
            self._runs[row[1]] = run_digest(self._journal, row[1])
        known = self._previous
        if known is not None and digest(known, table, link, row, self._runs[row[1]]) != here.hash:
            self.breaks.append(Break("changed", here))
        self._previous, self._expected, self.last = here.hash, link + 1, here
        self.counts[table] += 1

    def end(self, kept: tuple[int, bytes] | None) -> None:
        """Compare the last row with what was kept as the end."""
        link, mark = (0, BEFORE_ALL) if kept is None else kept
        if link >= self._expected:
            self.breaks.append(Break("cut off", self.last, link - self._expected + 1))
        elif self.last is not None and link < self.last.number:
            self.breaks.append(Break("added", self.last))
        elif self.last is not None and mark != self.last.hash:
            self.breaks.append(Break("changed", self.last))


Row = tuple[str, int, bytes, Sequence[Any]]


def _rows(journal: sqlite3.Connection, table: str, begins: int | None, last: int | None) -> Iterator[Row]:
    asked = (
        f"SELECT link, hash, {COLUMNS[table]} FROM {table} WHERE link > ? AND link <= ? ORDER BY link, seq"
    )
    for link, mark, *row in journal.execute(asked, (begins or 0, 1 << 62 if last is None else last)):
        yield table, link, mark, row


def _last_until(journal: sqlite3.Connection, until: float) -> int:
    asked = "SELECT ifnull(max(link), 0) FROM {} WHERE time <= ?"
    return max(int(journal.execute(asked.format(table), (until,)).fetchone()[0]) for table in COLUMNS)


def _added(journal: sqlite3.Connection, until: float) -> tuple[Break, ...]:
    """Rows without a place in the chain among those that have one."""
    found = []
    for table in COLUMNS:
        asked = (
            f"SELECT seq, time FROM {table} WHERE NOT {CHAINED} AND time <= ? AND seq > "
            f"(SELECT min(seq) FROM {table} WHERE {CHAINED}) ORDER BY seq"
        )
        rows = journal.execute(asked, (until,))
        found += [Break("added", Link(0, table, seq, time, b"")) for seq, time in rows]
    return tuple(found)


def _old(journal: sqlite3.Connection, until: float) -> tuple[int, float]:
    """Return how many rows were put on record before there was a chain, and the time of the last."""
    counts, times = 0, [-inf]
    for table in COLUMNS:
        only = OLD.format(table) if is_chained(journal) else "1"
        asked = f"SELECT count(*), max(time) FROM {table} WHERE time <= ? AND {only}"
        count, time = journal.execute(asked, (until,)).fetchone()
        counts += count
        times += [] if time is None else [time]
    return counts, max(times)


def _bytes(values: Sequence[Any]) -> bytes:
    return json.dumps([_plain(value) for value in values], ensure_ascii=True, separators=(",", ":")).encode()


def _plain(value: Any) -> Any:
    """Return a value as SQLite gives it back, with the bits of a number in the place of its digits."""
    if isinstance(value, float):
        return None if isnan(value) else struct.unpack(">Q", struct.pack(">d", value + 0.0))[0]
    return value.hex() if isinstance(value, bytes) else value
