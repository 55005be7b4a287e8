"""Where a record lies, and what its files are called."""

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Final

JOURNAL: Final = "journal.sqlite"
LOCK: Final = "lock"
HOLDER: Final = "lock-holder"
NOW: Final = ("now-a", "now-b")
COPIES: Final = "RECORD.txt"
"""Says which files make a copy whole."""
WAL: Final = f"{JOURNAL}-wal"
"""What SQLite has not put into the journal yet: the two belong together."""
NOTES: Final = "notes"
"""Folder in which other terminals leave notes for the watch."""
_OURS: Final = ("journal*.sqlite*", "feeds-*Z-*.log*", *NOW, LOCK, HOLDER, COPIES)


def default_folder(stay_file: str | Path) -> Path:
    """Return the record of a stay file where none is named: under the user's state directory (XDG base
    directory specification), by the file's name and a part of a hash of its path."""
    state = os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state"
    path = Path(stay_file).resolve()
    mark = hashlib.sha256(os.fsencode(path)).hexdigest()[:8]
    return Path(state) / "alongside" / "records" / f"{path.stem}-{mark}"


def journal_of(folder: Path) -> Path:
    return folder / JOURNAL


def files_of(folder: Path) -> Iterator[Path]:
    """Yield the files of a record. What else lies in its folder is not ours."""
    for pattern in _OURS:
        yield from (path for path in folder.glob(pattern) if path.is_file() and not path.is_symlink())
