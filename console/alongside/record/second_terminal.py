"""What another terminal leaves for the watch: notes, a small file each in a folder of the record.

The record's lock is the watch's, so nobody else writes into the journal. The watch takes the files in its
next cycle, puts what they say on record, and only then removes them: their end says that it is kept. A watch
that ended between the two finds the name of the file with the action on record, and does not take it again.
"""

import json
import os
import sqlite3
import time
import uuid
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from math import isfinite
from pathlib import Path
from typing import Final

from alongside.actions import Action, Correct, ForecastWind, ReadByHand
from alongside.errors import WrongInput
from alongside.readings import READ_BY_HAND
from alongside.record.access import Access
from alongside.record.codec import from_text, to_text
from alongside.record.faults import WrongRecord
from alongside.record.layout import NOTES
from alongside.record.reader import RecordReader
from alongside.wording.read_time import AHEAD_S, OLDEST_S
from alongside.wording.typed_reading import check_reading

ENDING: Final = ".json"
REFUSED: Final = ".refused"
LONGEST: Final = 10_000
"""Bytes of a file; a longer one is none of ours."""
MOST: Final = 100
"""Files taken in one cycle."""
LOOK_S: Final = 0.1
MOST_WAIT_S: Final = 12 * 3600.0
"""So long a reading may wait for the watch."""
MOST_AHEAD_S: Final = 10 * 86400.0
MAY_BE_READ: Final = (*READ_BY_HAND, "under_keel")
NoteAction = ReadByHand | ForecastWind | Correct
_KINDS: Final[dict[str, Callable[[str], NoteAction]]] = {
    "ReadByHand": lambda text: from_text(ReadByHand, text),
    "ForecastWind": lambda text: from_text(ForecastWind, text),
    "Correct": lambda text: from_text(Correct, text),
}
"""What a note may hold."""


def leave_note(record: Path, action: Action, access: Access) -> Path:
    """Put an action into the folder of a record for its watch, on the disk when this returns, and return its
    file. Raises OSError."""
    folder = record / NOTES
    access.make_folder(folder)
    name = f"{time.time_ns():020d}-{uuid.uuid4().hex}"
    part, whole = folder / f"{name}.part", folder / f"{name}{ENDING}"
    access.make_file(part)
    with part.open("wb") as file:
        file.write(json.dumps({"kind": type(action).__name__, "action": to_text(action)}).encode())
        file.flush()
        os.fsync(file.fileno())
    part.rename(whole)
    _on_disk(folder)
    return whole


def is_taken(file: Path, seconds: float) -> bool:
    """Return whether the watch has put on record what a file says, within so many seconds. One that it
    cannot take is put aside, and never will be."""
    until = time.monotonic() + seconds
    while file.exists() and time.monotonic() < until:
        time.sleep(LOOK_S)
    return not file.exists() and not file.with_suffix(REFUSED).exists()


class SecondTerminal:
    """Hears what other terminals say to the watch of a record. Each file is taken once; `done` removes those
    whose actions are on record."""

    def __init__(self, record: Path) -> None:
        self._record, self._folder = record, record / NOTES
        self._taken: set[Path] = set()
        self._on_record: frozenset[str] | None = None
        """Names of the notes that an earlier watch took; None until the first is there to ask of."""

    def hear(self, now: float) -> Sequence[Action]:
        """Return the actions of notes that came since the last call, in the order of time. A file that holds
        nothing we know, or what cannot be at the time `now`, is put aside; one that is on record already is
        only removed."""
        return list(self._new(now))

    def _new(self, now: float) -> Iterator[Action]:
        try:
            files = sorted(file for file in self._folder.iterdir() if file.suffix == ENDING)
        except OSError:
            return  # no note was ever left
        files = [file for file in files if file not in self._taken][:MOST]
        if files and self._on_record is None:
            self._on_record = _notes_on_record(self._record)
        for file in files:
            if self._on_record and file.stem in self._on_record:
                self._taken.add(file)
                continue
            action = _action_of(file)
            if action is None or not _can_be(action, now):
                with suppress(OSError):
                    file.rename(file.with_suffix(REFUSED))
                continue
            self._taken.add(file)
            yield replace(action, note=file.stem)

    def done(self) -> None:
        """Remove the files of all that was heard: it is on record."""
        for file in list(self._taken):
            with suppress(OSError):
                file.unlink()
            if not file.exists():
                self._taken.discard(file)


def _notes_on_record(record: Path) -> frozenset[str]:
    """Return the names of all notes whose actions are on record; none where it cannot be read."""
    try:
        with RecordReader(record) as reader:
            done = [each.action for each in reader.actions()]
    except (OSError, sqlite3.Error, WrongRecord):
        return frozenset()
    return frozenset(each.note for each in done if isinstance(each, NoteAction) and each.note)


def _action_of(file: Path) -> NoteAction | None:
    """What a file says; None for what is no action of ours."""
    try:
        with file.open("rb") as opened:
            note = json.loads(opened.read(LONGEST + 1)[: LONGEST + 1].decode())
        return _KINDS[note["kind"]](note["action"])
    except (OSError, ValueError, KeyError, TypeError, AttributeError, WrongRecord):
        return None


def _can_be(action: Action, now: float) -> bool:
    """Whether a reading is of the last hours and within the range of its channel; a forecast of the days
    ahead."""
    if isinstance(action, ForecastWind):
        figures = (action.at, action.mean_ms, action.gust_ms, action.from_deg)
        can_blow = min(action.mean_ms, action.gust_ms) >= 0.0 and 0.0 <= action.from_deg <= 360.0
        return all(map(isfinite, figures)) and abs(action.at - now) < MOST_AHEAD_S and can_blow
    if not isinstance(action, ReadByHand):
        return True
    if not (now - OLDEST_S - MOST_WAIT_S <= action.at <= now + AHEAD_S and isfinite(action.waves_m)):
        return False
    try:
        for channel, value in action.values:
            check_reading(channel, value, channel)
    except WrongInput:
        return False
    return all(channel in MAY_BE_READ for channel, _ in action.values)


def _on_disk(folder: Path) -> None:
    """See to it that a new name in a folder outlasts a loss of power, where the system has that."""
    with suppress(OSError):
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)
