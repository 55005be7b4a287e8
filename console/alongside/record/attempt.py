"""What an exercise with an instructor's station keeps as it goes: a folder that two consoles share.

The trainee's console holds the lock, appends rows, each on the disk before what it says is shown, and puts
its present instant into a file that is replaced whole. The instructor's leaves notes, a file each; the
trainee's takes them, appends what became of them, and only then removes them. Whichever is killed, what was
shown is there. The folder is for its owner alone.
"""

import json
import os
import time
import uuid
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

from filelock import FileLock, Timeout

from alongside.record.access import OWNER_ONLY
from alongside.record.faults import RecordInUse

ROWS: Final = "attempt.jsonl"
NOW: Final = "now.json"
NOTES: Final = "notes"
TRAINEE: Final = "trainee.lock"
INSTRUCTOR: Final = "instructor.lock"
ENDING: Final = ".json"
LONGEST: Final = 10_000
"""Bytes of a note; a longer one is none of ours."""
MOST_NOTES: Final = 20
"""Notes taken at once."""
ASKED_S: Final = 0.06
"""Whoever asks whether a lock is held holds it for a moment: trying so long gets past that."""


class AttemptFolder:
    """The trainee's side, from construction to `close`. Raises OSError where the folder cannot be made."""

    def __init__(self, folder: Path) -> None:
        OWNER_ONLY.make_folder(folder)
        OWNER_ONLY.make_folder(folder / NOTES)
        OWNER_ONLY.make_file(folder / ROWS)
        self.folder = folder
        self._lock = _lock(folder / TRAINEE)
        self._lock.acquire(ASKED_S, poll_interval=ASKED_S / 3.0)
        self._rows = (folder / ROWS).open("ab")

    def append(self, row: Mapping[str, Any]) -> None:
        """Append a row; it is on the disk when this returns. Raises OSError."""
        self._rows.write(_text(row))
        self._rows.flush()
        os.fsync(self._rows.fileno())

    def say(self, now: Mapping[str, Any]) -> None:
        """Put the present instant in the place of the last. Raises OSError."""
        part = self.folder / f"{NOW}.part"
        OWNER_ONLY.make_file(part)
        part.write_bytes(_text(now))
        part.replace(self.folder / NOW)

    def notes(self) -> list[tuple[str, dict[str, Any]]]:
        """Return notes that wait, each with its name, oldest first; what is none of ours is removed."""
        found: list[tuple[str, dict[str, Any]]] = []
        with suppress(OSError):
            for name in sorted(os.listdir(self.folder / NOTES))[:MOST_NOTES]:
                if name.endswith(ENDING):
                    note = _read(self.folder / NOTES / name)
                    if note is None:
                        self.drop(name)
                    else:
                        found.append((name, note))
        return found

    def drop(self, name: str) -> None:
        """Remove a note: what became of it is on the disk."""
        with suppress(OSError):
            (self.folder / NOTES / name).unlink()

    def instructor_is_there(self) -> bool:
        return _is_held(self.folder / INSTRUCTOR)

    def close(self) -> None:
        self._rows.close()
        self._lock.release()


class Seat:
    """The instructor's place, held from construction to `leave`. Raises RecordInUse where another has it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._lock = _lock(folder / INSTRUCTOR)
        try:
            self._lock.acquire(ASKED_S, poll_interval=ASKED_S / 3.0)
        except Timeout as error:
            raise RecordInUse(folder, "another console instructs this trainee") from error

    def leave(self) -> None:
        self._lock.release()

    def ask(self, note: Mapping[str, Any]) -> None:
        """Leave a note for the trainee's console, on the disk when this returns. Raises OSError."""
        name = f"{time.time_ns():020d}-{uuid.uuid4().hex}"
        part = self.folder / NOTES / f"{name}.part"
        OWNER_ONLY.make_file(part)
        with part.open("wb") as file:
            file.write(_text(note))
            file.flush()
            os.fsync(file.fileno())
        part.rename(self.folder / NOTES / f"{name}{ENDING}")


class Rows:
    """Reads the rows of an attempt as they come."""

    def __init__(self, folder: Path) -> None:
        self._path, self._at = folder / ROWS, 0

    def new(self) -> list[dict[str, Any]]:
        """Return whole rows that came since the last call. One that is no JSON is left out: it was cut off
        by a loss of power."""
        try:
            with self._path.open("rb") as file:
                file.seek(self._at)
                text = file.read()
        except OSError:
            return []
        whole = text[: text.rfind(b"\n") + 1]
        self._at += len(whole)
        return [row for line in whole.splitlines() if (row := _object(line)) is not None]


def now_of(folder: Path) -> dict[str, Any] | None:
    """Return the trainee's present instant as it was said last; None where there is none."""
    return _read(folder / NOW)


def is_running(folder: Path) -> bool:
    """Return whether the trainee's console runs."""
    return _is_held(folder / TRAINEE)


def is_ours(folder: Path) -> bool:
    """Return whether a folder holds an attempt, and belongs to this user."""
    try:
        user = os.geteuid() if hasattr(os, "geteuid") else None
        return (folder / ROWS).is_file() and user in (None, folder.stat().st_uid)
    except OSError:
        return False


def _text(row: Mapping[str, Any]) -> bytes:
    return json.dumps(row, ensure_ascii=True, allow_nan=False).encode() + b"\n"


def _read(path: Path) -> dict[str, Any] | None:
    try:
        with path.open("rb") as file:
            text = file.read(LONGEST + 1)
    except OSError:
        return None
    return _object(text) if len(text) <= LONGEST else None


def _object(text: bytes) -> dict[str, Any] | None:
    try:
        row = json.loads(text)
    except (ValueError, RecursionError):
        return None
    return row if isinstance(row, dict) else None


def _lock(path: Path) -> FileLock:
    return FileLock(path, timeout=0.0, mode=OWNER_ONLY.file_mode, thread_local=False)


def _is_held(path: Path) -> bool:
    if not path.exists():
        return False
    try:
        with _lock(path):
            return False
    except Timeout:
        return True
    except OSError:
        return False
