"""Opening a record by its folder or journal, and how long each of its states stands."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

import numpy as np

from alongside.errors import WrongInput
from alongside.readings import Floats
from alongside.record.faults import WrongRecord, in_words
from alongside.record.layout import JOURNAL
from alongside.record.reader import RecordReader
from alongside.record.thinning import EVERY_S

STANDS_S: Final = 3.0 * EVERY_S
"""States farther apart than this have a gap between them, in which nothing is known."""


@contextmanager
def open_record(path: Path) -> Iterator[RecordReader]:
    """Return the record in a folder, or the one whose journal a file is. Raises WrongInput where there is
    none or it cannot be read."""
    folder = path.parent if path.name == JOURNAL and not path.is_dir() else path
    try:
        record = RecordReader(folder)
    except FileNotFoundError as error:
        text = f"{path}: no record, expected a folder with {JOURNAL} in it"
        if (folder / JOURNAL).exists():
            text = (
                f"{path}: nothing is on record in {JOURNAL}; of a watch that runs {JOURNAL}-wal belongs to it"
            )
        raise WrongInput(text) from error
    except (sqlite3.Error, OSError, WrongRecord) as error:
        raise WrongInput(f"{path}: {in_words(error)}, expected a record that can be read") from error
    with record:
        try:
            yield record
        except (sqlite3.Error, WrongRecord) as error:
            raise WrongInput(f"{path}: {in_words(error)}, expected a record that can be read") from error


def stood_s(time: Floats) -> Floats:
    """Return the seconds (n,) that each of n states, in order of time, stands for: until the next one,
    whether they lie evenly or densely; 0 for the last and for one before a gap."""
    if not time.size:
        return np.zeros(0)
    until = np.diff(time, append=time[-1])
    return np.where(until > STANDS_S, 0.0, until)
