"""Faults of a record, and the words for them."""

import sqlite3
from pathlib import Path
from typing import Final

from alongside.errors import AlongsideError

SPOILT: Final = frozenset({sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB})
"""Codes of SQLite after which a journal cannot be continued."""

_WORDS: Final = {
    sqlite3.SQLITE_FULL: "disk full",
    sqlite3.SQLITE_READONLY: "read-only",
    sqlite3.SQLITE_CANTOPEN: "cannot be opened",
    sqlite3.SQLITE_IOERR: "disk error",
    sqlite3.SQLITE_CORRUPT: "damaged",
    sqlite3.SQLITE_NOTADB: "damaged",
    sqlite3.SQLITE_BUSY: "in use by another program",
    sqlite3.SQLITE_LOCKED: "in use by another program",
    sqlite3.SQLITE_PERM: "not permitted",
}


class WrongRecord(AlongsideError):
    """Something in a record is not what belongs there."""

    exit_status = 2


class NewerRecord(AlongsideError):
    """Written by a newer program: not damaged, and not ours to touch."""

    exit_status = 2


class RecordInUse(AlongsideError):
    """Another console keeps this record."""

    exit_status = 2

    def __init__(self, folder: Path, holder: str) -> None:
        self.folder, self.holder = folder, holder
        super().__init__(f"{folder}: {holder}")


def is_spoilt(error: Exception) -> bool:
    """Return True if the journal itself is damaged, rather than the disk full or closed to us."""
    if isinstance(error, WrongRecord):
        return True
    return isinstance(error, sqlite3.Error) and code_of(error) in SPOILT


def in_words(error: Exception) -> str:
    """Return a fault of the disk or the journal in words for the watch."""
    if isinstance(error, sqlite3.Error):
        return _WORDS.get(code_of(error), str(error))
    if isinstance(error, OSError) and error.strerror:
        return error.strerror.lower()
    return str(error) or type(error).__name__


def code_of(error: sqlite3.Error) -> int:
    """Return SQLite's primary result code; 0 where the library gave none."""
    code: int = getattr(error, "sqlite_errorcode", None) or 0
    return code & 0xFF
