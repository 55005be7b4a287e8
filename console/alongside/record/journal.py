"""Writing the journal: a transaction for each batch of entries, on the disk when `write` returns."""

import os
import sqlite3
from collections.abc import Sequence
from contextlib import suppress
from math import inf
from pathlib import Path
from typing import Final

from alongside.actions import Action
from alongside.alerts.model import Event
from alongside.record.access import OWNER_ONLY, Access
from alongside.record.chain import digest, head, keep_head, run_digest
from alongside.record.codec import to_text
from alongside.record.entries import Entry, Run, stay_hash
from alongside.record.feedfiles import feed_logs
from alongside.record.pieces import CLOSED, IN_FILE, IN_WAL, keep_logs, keep_state, plain_name
from alongside.record.schema import open_to_write

CHECKPOINT_EVERY_S: Final = 120.0
"""So often what is in the write-ahead log is brought into the journal file."""
MEMORY_EVERY_S: Final = 300.0
"""Memories kept for good lie at least so far apart; the newest is always kept."""

Row = tuple[object, ...]


class Journal:
    """One connection that writes. Raises sqlite3.Error, or WrongRecord for a journal that is not ours; after
    an error nothing of the batch is written, and the journal should be opened anew."""

    def __init__(self, path: Path, access: Access = OWNER_ONLY) -> None:
        self.path = path
        access.make_file(path)  # SQLite gives what it makes beside it the same mode
        self._file = open_to_write(path)
        self._inode = os.stat(path).st_ino
        self._run = 0
        self._run_digest = ""
        self._link, self._mark = 0, b""
        self._checkpointed = -inf
        self._memory_kept = -inf
        self._memory_newest: int | None = None

    def begin(self, run: Run) -> None:
        """Everything written from now on belongs to this run."""
        self._begin(run)
        self._checkpoint()

    def _begin(self, run: Run) -> None:
        with self._file:
            self._file.execute("BEGIN IMMEDIATE")
            keep_logs(self._file, map(plain_name, feed_logs(self.path.parent)))
            self._run = self._put_run(run)
            self._run_digest = ""

    def _put_run(self, run: Run) -> int:
        """Return the number of a run in the journal, put there if it is not yet."""
        stay = to_text(run.stay)
        row = (run.started, run.program, stay, stay_hash(run.stay), run.stay_text, to_text(run.columns))
        begun = "SELECT run FROM runs WHERE started = ? AND columns = ? AND stay_sha256 = ?"
        known = self._file.execute(begun, (run.started, row[-1], row[3])).fetchone()
        if known is not None:  # opened anew after a fault of the disk
            return int(known[0])
        names = [("stay", run.stay.name), ("ship", run.stay.ship.name), ("created", str(run.started))]
        self._file.executemany("INSERT OR IGNORE INTO meta VALUES (?, ?)", names)
        added = self._file.execute("INSERT INTO runs VALUES (NULL, ?, ?, ?, ?, ?, ?)", row)
        return added.lastrowid or 0

    def write(self, entries: Sequence[Entry]) -> None:
        """All of them, or none and an error."""
        kept, newest, run = self._memory_kept, self._memory_newest, self._run
        try:
            with self._file:
                self._file.execute("BEGIN IMMEDIATE")
                self._run_digest = self._run_digest or run_digest(self._file, self._run)
                before, self._mark = head(self._file)
                self._link = before
                for entry in entries:
                    if entry.run is not None:
                        self._run = self._put_run(entry.run)
                        self._run_digest = run_digest(self._file, self._run)
                    self._put(entry)
                if self._link != before:
                    keep_head(self._file, self._link, self._mark)
        except BaseException:
            self._memory_kept, self._memory_newest, self._run = kept, newest, run
            self._run_digest = ""
            raise
        if entries and not 0.0 <= entries[-1].time - self._checkpointed < CHECKPOINT_EVERY_S:
            self._checkpointed = entries[-1].time
            self._checkpoint()

    def _checkpoint(self) -> None:
        """Bring the file up to date. By itself it says that more is in the write-ahead log; the first row
        there says that its reader has both. What fails is tried again with the next."""
        with suppress(sqlite3.Error):
            keep_state(self._file, IN_FILE)
            self._file.execute("PRAGMA wal_checkpoint(PASSIVE)").fetchone()
            keep_state(self._file, IN_WAL)

    def is_in_place(self) -> bool:
        """Return True if the file written is still the one that others find under its name."""
        try:
            return os.stat(self.path).st_ino == self._inode
        except OSError:
            return False

    def close(self) -> None:
        with suppress(sqlite3.Error):  # a disk that takes no more
            keep_state(self._file, CLOSED)
        self._file.close()

    def _put(self, entry: Entry) -> None:
        put = self._file.executemany
        events = self._chained("events", [_event_row(self._run, event) for event in entry.events])
        put("INSERT INTO events VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", events)
        actions = [_action_row(self._run, entry.time, action) for action in entry.actions]
        put("INSERT INTO actions VALUES (?, ?, ?, ?, ?, ?, ?)", self._chained("actions", actions))
        states = [(self._run, state.time, state.dense, state.packed) for state in entry.states]
        put("INSERT INTO states VALUES (NULL, ?, ?, ?, ?)", states)
        if entry.log:
            keep_logs(self._file, [entry.log])
        if entry.memory is not None:
            self._put_memory(entry.time, entry.memory)

    def _chained(self, table: str, rows: Sequence[Row]) -> list[Row]:
        """Return rows with their numbers, their places in the chain and their hashes."""
        if not rows:
            return []
        last = self._file.execute(f"SELECT ifnull(max(seq), 0) FROM {table}").fetchone()[0]
        chained: list[Row] = []
        for seq, row in enumerate(rows, last + 1):
            self._link += 1
            self._mark = digest(self._mark, table, self._link, (seq, *row), self._run_digest)
            chained.append((seq, *row, self._link, self._mark))
        return chained

    def _put_memory(self, time: float, memory: bytes) -> None:
        row = (self._run, time, memory)
        added = self._file.execute("INSERT INTO memories VALUES (NULL, ?, ?, ?)", row)
        if self._memory_newest is not None:
            self._file.execute("DELETE FROM memories WHERE seq = ?", (self._memory_newest,))
        self._memory_newest = added.lastrowid
        if time - self._memory_kept >= MEMORY_EVERY_S:
            self._memory_kept, self._memory_newest = time, None  # this one stays


def _event_row(run: int, event: Event) -> Row:
    stage = None if event.stage is None else event.stage.word
    what = (event.event, event.alert, event.subject, stage, event.line)
    return (run, float(event.time), *what, _number(event.value), _number(event.limit), event.text)


def _action_row(run: int, time: float, action: Action) -> Row:
    return (run, float(time), type(action).__name__, to_text(action))


def _number(value: float | None) -> float | None:
    """Return a number as SQLite gives it back, which knows no NaN."""
    return None if value is None or value != value else float(value)
