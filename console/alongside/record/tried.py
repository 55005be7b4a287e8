"""Trying the record: a row is written to the disk and read back."""

import shutil
import sqlite3
import time
from collections.abc import Callable
from math import nan
from pathlib import Path
from typing import Final

from alongside.alerts.model import Event
from alongside.cycle.picture import RecordTried
from alongside.cycle.watchkeeping import RECORD_TRIED
from alongside.errors import AlongsideError
from alongside.record.faults import in_words
from alongside.record.reader import RecordReader

TRIED: Final = "Self-test: this row was written to try the record"


def tried(folder: Path, number: int, now: float, write: Callable[[Event], str]) -> RecordTried:
    """Return how long it takes until an event is on the disk and read back through another connection, by its
    time and words. `write` puts it there, and returns why it could not, "" where it could."""
    event = Event(now, "note", subject=RECORD_TRIED, text=TRIED)
    begin = time.perf_counter()
    try:
        fault = write(event)
        if not fault and not _is_on_record(folder, event):
            fault = "what was written is not read back"
    except (sqlite3.Error, OSError, AlongsideError) as error:
        fault = in_words(error)
    took = time.perf_counter() - begin
    return RecordTried(number, nan if fault else took, _free(folder), fault)


def _is_on_record(folder: Path, event: Event) -> bool:
    with RecordReader(folder) as record:
        return any(read == event for _, read in record.last_events(10, event.time))


def _free(folder: Path) -> float:
    try:
        return float(shutil.disk_usage(folder).free)
    except OSError:
        return nan
