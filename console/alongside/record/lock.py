"""One writer at a time: a lock that dies with its process, however that dies."""

import fcntl
import os
import time
from pathlib import Path
from typing import Final

from alongside.record.faults import RecordInUse
from alongside.record.layout import LOCK

TRIES: Final = 4


class Lock:
    """Held from construction to `release`. Raises RecordInUse, with who holds it, where another process
    does; OSError where the folder does not take a lock file."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / LOCK
        self._file = _opened(self._path)
        try:
            _take(self._file)
        except BlockingIOError as error:
            holder = os.pread(self._file, 200, 0).decode("utf-8", "replace").strip()
            os.close(self._file)
            raise RecordInUse(folder, f"another console keeps the watch, {holder or 'unknown'}") from error
        except OSError:
            os.close(self._file)
            raise
        self._say(f"process {os.getpid()}\n")

    def is_in_place(self) -> bool:
        """Whether what is locked is still the file that others would lock."""
        try:
            return os.stat(self._path).st_ino == os.fstat(self._file).st_ino
        except OSError:
            return False

    def release(self) -> None:
        if self._file >= 0:
            os.close(self._file)
            self._file = -1

    def _say(self, text: str) -> None:
        """Who holds it, for whoever asks; a disk that takes no more does not keep us from holding it."""
        try:
            os.ftruncate(self._file, 0)
            os.pwrite(self._file, text.encode(), 0)
        except OSError:
            return


def _take(file: int) -> None:
    """Take the lock, or raise BlockingIOError. Whoever only asks whether it is held (`is_held`) holds it for
    a moment: a few tries get past that."""
    for _ in range(TRIES - 1):
        try:
            return fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            time.sleep(0.02)
    return fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


def _opened(path: Path) -> int:
    """Opened to write, else (on a read-only disk) to read: either can be locked."""
    try:
        return os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
    except OSError:
        if not path.exists():
            raise
        return os.open(path, os.O_RDONLY)


def is_held(folder: Path) -> bool:
    """Whether a process holds the lock now."""
    try:
        lock = os.open(folder / LOCK, os.O_RDONLY)
    except OSError:
        return False
    try:
        fcntl.flock(lock, fcntl.LOCK_SH | fcntl.LOCK_NB)
    except BlockingIOError:
        return True
    finally:
        os.close(lock)
    return False
