"""Opening the database of a ship's ropes as what it is, and changing it as a whole or not at all."""

import os
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

from alongside.errors import OF_THE_DISK, AlongsideError, DiskFailed, WrongInput
from alongside.record.faults import WrongRecord, code_of, in_words
from alongside.record.schema import APPLICATION as JOURNAL

APPLICATION: Final = 0x416C6F52
"""application_id of our databases of ropes (`AloR`), for whoever finds one."""
FORMAT: Final = 1
"""user_version: raised with every change of the tables that an older program could not write."""
WAIT_S: Final = 10.0
"""How long to wait for another program that writes."""
EXPECTED: Final = "expected a database of ropes that this program made"

TABLES: Final = """
CREATE TABLE entries (
    number INTEGER PRIMARY KEY,
    entered REAL NOT NULL,
    kind TEXT NOT NULL,
    serial TEXT NOT NULL,
    day TEXT NOT NULL,
    who TEXT NOT NULL,
    identity TEXT NOT NULL UNIQUE,
    fields TEXT NOT NULL,
    withdrawn REAL,
    withdrawn_by TEXT,
    digest TEXT NOT NULL
);
CREATE INDEX entries_by_serial ON entries (serial);
CREATE TABLE uses (
    entry INTEGER NOT NULL REFERENCES entries (number),
    serial TEXT NOT NULL,
    what TEXT NOT NULL,
    line TEXT NOT NULL,
    ship TEXT NOT NULL,
    rope TEXT NOT NULL,
    fast_at REAL NOT NULL,
    since REAL NOT NULL,
    until REAL NOT NULL,
    figures TEXT NOT NULL,
    turns BLOB NOT NULL,
    digest TEXT NOT NULL
);
CREATE INDEX uses_by_entry ON uses (entry);
CREATE INDEX uses_by_serial ON uses (serial);
"""
_MAGIC: Final = b"SQLite format 3\0"
_VERSION_AT: Final = 60
_APPLICATION_AT: Final = 68
_HEAD: Final = 100
"""Bytes of the header of an SQLite file; where in it the numbers stand is of its published file format."""


@contextmanager
def database_to_read(path: Path, wait_s: float | None = None) -> Iterator[sqlite3.Connection]:
    """Give a database to read, all of one instant; nothing is written, the file may be write-protected.
    Raises WrongInput where there is none, it is not ours, damaged, or in use for longer than
    is waited."""
    if not _looked_at(path):
        raise WrongInput(f"{path}: no database of ropes, {EXPECTED}: the first entry or record makes one")
    with _faults_at(path):
        database = _to_read(path, WAIT_S if wait_s is None else wait_s)
        try:
            database.execute("BEGIN")
            _tried(database, path)
            yield database
        finally:
            database.close()


@contextmanager
def database_to_write(path: Path) -> Iterator[sqlite3.Connection]:
    """Give a database to change, made where there is none or an empty file. All that is changed is on the
    disk when the block ends, or nothing of it where it fails or the process dies. Raises WrongInput as
    `database_to_read` does, DiskFailed where the disk is full or fails."""
    _looked_at(path)
    with _faults_at(path):
        database = sqlite3.connect(path, timeout=WAIT_S, isolation_level=None)
        try:
            database.execute("PRAGMA synchronous = EXTRA")
            database.execute("BEGIN IMMEDIATE")
            if not database.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
                _make(database)
            _tried(database, path)
            yield database
            database.execute("COMMIT")
        finally:
            with suppress(sqlite3.Error):
                if database.in_transaction:
                    database.execute("ROLLBACK")
            database.close()


def _make(database: sqlite3.Connection) -> None:
    for command in TABLES.split(";"):
        if command.strip():
            database.execute(command)
    database.execute(f"PRAGMA application_id = {APPLICATION}")
    database.execute(f"PRAGMA user_version = {FORMAT}")


def _to_read(path: Path, wait_s: float) -> sqlite3.Connection:
    """Return a connection that only reads. Where a process died while it wrote, its changes must be taken
    back first, which writes; where they cannot be, the fault says so."""
    address = path.resolve().as_uri()
    for mode in ("ro", "rw"):
        database = sqlite3.connect(f"{address}?mode={mode}", uri=True, timeout=wait_s, isolation_level=None)
        try:
            database.execute("PRAGMA query_only = ON")
            database.execute("SELECT count(*) FROM sqlite_master").fetchone()
            return database
        except sqlite3.OperationalError as error:
            database.close()
            if code_of(error) not in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY):
                raise
    beside = f"{path.name}-journal"
    raise WrongInput(
        f"{path}: was cut off while it was written and {beside} cannot be played back here, expected a copy "
        "of both where they can be written"
    )


def _looked_at(path: Path) -> bool:
    """Return whether there is a database, before SQLite touches the file; False for none or an empty file.
    Raises WrongInput for what is not ours."""
    try:
        there = os.stat(path)
        if not stat.S_ISREG(there.st_mode):
            what = "a folder" if stat.S_ISDIR(there.st_mode) else "a device"
            raise WrongInput(f"{path}: is {what}, {EXPECTED}")
        with path.open("rb") as file:
            head = file.read(_HEAD)
    except FileNotFoundError:
        return False
    except OSError as error:
        raise WrongInput(f"{path}: {error.strerror}, {EXPECTED}") from error
    if not head:
        return False
    application = int.from_bytes(head[_APPLICATION_AT : _APPLICATION_AT + 4], "big")
    if not head.startswith(_MAGIC) or application != APPLICATION:
        what = "another program's database" if head.startswith(_MAGIC) else "not a database"
        what = "the journal of a record" if application == JOURNAL and head.startswith(_MAGIC) else what
        raise WrongInput(f"{path}: is {what}, {EXPECTED}; it is left as it is")
    written = int.from_bytes(head[_VERSION_AT : _VERSION_AT + 4], "big")
    if written > FORMAT:
        raise WrongInput(
            f"{path}: database of ropes of format {written}, expected at most {FORMAT}: a newer program's"
        )
    return True


def _tried(database: sqlite3.Connection, path: Path) -> None:
    """Raise WrongInput for a database that is damaged anywhere."""
    found = database.execute("PRAGMA quick_check(1)").fetchone()[0]
    if found != "ok":
        first = " ".join(str(found).split())
        raise WrongInput(f"{path}: damaged ({first}), {_AGAIN}")


_NOT_DAMAGED: Final = frozenset(
    {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN,
     sqlite3.SQLITE_PERM}
)  # fmt: skip
_AGAIN: Final = "expected a whole database of ropes: use the last copy of it and import the records since"


@contextmanager
def _faults_at(path: Path) -> Iterator[None]:
    """Say what a fault of SQLite or of the system means for the database."""
    try:
        yield
    except (WrongRecord, UnicodeDecodeError) as error:  # SQLite's own words have damaged bytes in them
        raise WrongInput(f"{path}: damaged ({error}), {_AGAIN}") from error
    except AlongsideError:
        raise
    except sqlite3.Error as error:
        code = code_of(error)
        if code in (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR):
            raise DiskFailed(f"{path}: {in_words(error)}; it is as it was") from error
        if code not in _NOT_DAMAGED:
            raise WrongInput(f"{path}: damaged ({error}), {_AGAIN}") from error
        raise WrongInput(f"{path}: {in_words(error)}, {_meant(code)}") from error
    except OSError as error:
        if error.errno in OF_THE_DISK:
            raise DiskFailed(f"{path}: {error.strerror}; it is as it was") from error
        raise


def _meant(code: int) -> str:
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return f"expected it free within {WAIT_S:.0f} s: try again"
    return "expected a file in a folder that can be written"
