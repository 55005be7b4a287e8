"""The journal's tables, and opening a journal as what it is."""

import errno
import sqlite3
from pathlib import Path
from typing import Final

from alongside.record.faults import NewerRecord, WrongRecord, code_of

APPLICATION: Final = 0x416C6F6E
"""application_id of our journals (`Alon`), for whoever finds one."""
FORMAT: Final = 2
"""user_version: raised with every change of the tables that an older program could not write. Journals of
format 1 have no `link` and `hash`; they are read as they are, and get both when they are written again."""
WAIT_S: Final = 1.0
"""How long to wait for another program that has the journal open."""

TABLES: Final = """
CREATE TABLE meta (key TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE runs (
    run INTEGER PRIMARY KEY,
    started REAL NOT NULL,
    program TEXT NOT NULL,
    stay TEXT NOT NULL,
    stay_sha256 TEXT NOT NULL,
    stay_text TEXT NOT NULL,
    columns TEXT NOT NULL
);
CREATE TABLE events (
    seq INTEGER PRIMARY KEY,
    run INTEGER NOT NULL,
    time REAL NOT NULL,
    event TEXT NOT NULL,
    alert TEXT,
    subject TEXT,
    stage TEXT,
    line TEXT,
    value REAL,
    threshold REAL,
    text TEXT NOT NULL,
    link INTEGER,
    hash BLOB
);
CREATE INDEX events_by_time ON events (time);
CREATE TABLE actions (
    seq INTEGER PRIMARY KEY,
    run INTEGER NOT NULL,
    time REAL NOT NULL,
    kind TEXT NOT NULL,
    action TEXT NOT NULL,
    link INTEGER,
    hash BLOB
);
CREATE INDEX actions_by_time ON actions (time);
CREATE TABLE states (
    seq INTEGER PRIMARY KEY,
    run INTEGER NOT NULL,
    time REAL NOT NULL,
    dense INTEGER NOT NULL,
    state BLOB NOT NULL
);
CREATE INDEX states_by_time ON states (time);
CREATE TABLE memories (
    seq INTEGER PRIMARY KEY,
    run INTEGER NOT NULL,
    time REAL NOT NULL,
    memory BLOB NOT NULL
);
CREATE INDEX memories_by_time ON memories (time);
"""
FROM_FORMAT_1: Final = "".join(
    f"ALTER TABLE {table} ADD COLUMN {column};"
    for table in ("events", "actions")
    for column in ("link INTEGER", "hash BLOB")
)


def open_to_write(path: Path) -> sqlite3.Connection:
    """Return a journal to write, made if there is none or an empty one. What is committed is on the disk
    (write-ahead log, synchronous FULL). Raises sqlite3.Error or WrongRecord."""
    journal = sqlite3.connect(path, timeout=WAIT_S, isolation_level=None, check_same_thread=False)
    try:
        journal.execute("PRAGMA journal_mode = WAL").fetchone()
        journal.execute("PRAGMA synchronous = FULL")
        journal.execute("PRAGMA journal_size_limit = 8000000")
        journal.execute("PRAGMA wal_autocheckpoint = 0")  # the journal does it, and marks it
        if is_empty(journal):
            _change(journal, TABLES)
        check(journal, path)
        if journal.execute("PRAGMA user_version").fetchone()[0] < FORMAT:
            _change(journal, FROM_FORMAT_1)
    except BaseException:
        journal.close()
        raise
    return journal


def open_to_read(path: Path) -> sqlite3.Connection:
    """Return a journal to read, whether somebody writes it or not, and on a disk that cannot be written
    either. Raises sqlite3.Error, WrongRecord, or FileNotFoundError where there is none or an empty one, as a
    loss of power leaves it while it is made."""
    if not path.exists():
        raise FileNotFoundError(errno.ENOENT, "no journal here", str(path))
    address = path.resolve().as_uri()
    try:
        return _readable(f"{address}?mode=ro", path)
    except sqlite3.OperationalError as error:
        if code_of(error) not in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY):
            raise
        # Beside the journal its helpers must be written, which a read-only disk refuses. What its
        # write-ahead log still holds is then out of reach.
        return _readable(f"{address}?immutable=1", path)


def _readable(address: str, path: Path) -> sqlite3.Connection:
    journal = sqlite3.connect(
        address, uri=True, timeout=WAIT_S, isolation_level=None, check_same_thread=False
    )
    try:
        if is_empty(journal):
            raise FileNotFoundError(errno.ENOENT, "an empty journal, nothing is on record", str(path))
        check(journal, path)
    except BaseException:
        journal.close()
        raise
    return journal


def is_empty(journal: sqlite3.Connection) -> bool:
    """Return True for a database without a table: the tables of a journal come in one transaction, before
    anything else is put on record or shown."""
    return not journal.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]


def _change(journal: sqlite3.Connection, tables: str) -> None:
    """Make all of the tables or columns or none: a journal that was only half made counts as empty."""
    pragmas = f"PRAGMA application_id = {APPLICATION}; PRAGMA user_version = {FORMAT};"
    try:
        journal.executescript(f"BEGIN IMMEDIATE; {tables} {pragmas} COMMIT;")
    except BaseException:
        if journal.in_transaction:
            journal.execute("ROLLBACK")
        raise


def check(journal: sqlite3.Connection, path: Path) -> None:
    """Raise WrongRecord for a journal that is not ours, NewerRecord for one of a newer format."""
    application = journal.execute("PRAGMA application_id").fetchone()[0]
    written = journal.execute("PRAGMA user_version").fetchone()[0]
    if application != APPLICATION:
        raise WrongRecord(f"{path}: no journal of ours (application id {application:#x})")
    if written > FORMAT:
        raise NewerRecord(
            f"{path}: journal of format {written}, expected at most {FORMAT}: a newer program's"
        )
    journal.execute("SELECT count(*) FROM runs").fetchone()
