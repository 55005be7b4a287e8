"""A damaged journal is renamed, for whoever can still read some of it."""

from datetime import UTC, datetime
from itertools import count
from math import floor
from pathlib import Path
from typing import Final

from alongside.record.layout import journal_of

COMPANIONS: Final = ("-wal", "-shm")
"""What SQLite keeps beside a journal; left behind, it would be taken for the new one's."""


def set_aside(folder: Path, now: float) -> Path:
    """Rename the journal to `journal-corrupt-20260320T031000Z.sqlite`; return where it is. Raises OSError."""
    journal = journal_of(folder)
    kept = _free_name(journal, f"{datetime.fromtimestamp(floor(now), UTC):%Y%m%dT%H%M%SZ}")
    for companion in COMPANIONS:
        beside = journal.with_name(journal.name + companion)
        if beside.exists():
            beside.rename(kept.with_name(kept.name + companion))
    journal.rename(kept)
    return kept


def _free_name(journal: Path, stamp: str) -> Path:
    for number in count():
        again = f"-{number}" if number else ""
        kept = journal.with_name(f"{journal.stem}-corrupt-{stamp}{again}{journal.suffix}")
        if not kept.exists():
            return kept
    raise AssertionError("numbers do not end")
