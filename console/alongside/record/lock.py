"""One writer at a time: a lock that dies with its process, however that dies."""

import os
import stat
import time
from contextlib import suppress
from pathlib import Path
from typing import Final

from filelock import FileLock, Timeout

from alongside.record.access import OWNER_ONLY, Access
from alongside.record.faults import RecordInUse
from alongside.record.layout import HOLDER, LOCK, NOW

ASKED_S: Final = 0.06
"""Whoever asks whether a lock is held (`is_held`) holds it for a moment: trying so long gets past that."""
FRESH_S: Final = 10.0
"""A console writes its present instant each second: one older than this is not being kept."""


class Lock:
    """Held from construction to `release`. Whoever cannot open the file cannot hold a lock on it: it is for
    those of `access` alone. Raises RecordInUse, with who holds it, where another process does; OSError where
    the folder does not take a lock file."""

    def __init__(self, folder: Path, access: Access = OWNER_ONLY) -> None:
        self._path = folder / LOCK
        # Asking leaves the mode of a lock as it is: whoever holds it may share it with a group.
        self._lock = _lock(self._path, _mode_of(self._path, access.file_mode))
        try:
            self._lock.acquire(ASKED_S, poll_interval=ASKED_S / 3.0)
        except Timeout as error:
            raise RecordInUse(folder, f"another console keeps the watch, {_holder(folder)}") from error
        except PermissionError as error:
            if not _kept_lately(folder):
                raise
            raise RecordInUse(folder, "a console of another user keeps the watch") from error
        self._inode = os.stat(self._path).st_ino
        with suppress(OSError):  # a disk that takes no more does not keep us from holding it
            access.give(self._path)  # one that an older version left may be open to all
            access.make_file(folder / HOLDER)
            (folder / HOLDER).write_text(f"process {os.getpid()}\n", encoding="utf-8")

    def is_in_place(self) -> bool:
        """Return True while what is locked is still the file that others would lock."""
        try:
            return os.stat(self._path).st_ino == self._inode
        except OSError:
            return False

    def release(self) -> None:
        """Let go; a second time does nothing."""
        self._lock.release()


def is_held(folder: Path) -> bool:
    """Return True if a process holds the lock now. Where we may not ask, go by what it wrote last."""
    if not (folder / LOCK).exists():
        return False
    try:
        with _lock(folder / LOCK, _mode_of(folder / LOCK, OWNER_ONLY.file_mode)):
            return False
    except Timeout:
        return True
    except PermissionError:
        return _kept_lately(folder)
    except OSError:
        return False


def _lock(path: Path, mode: int) -> FileLock:
    """Return a lock of its own for each caller, whichever thread lets go of it."""
    return FileLock(path, timeout=0.0, mode=mode, thread_local=False)


def _mode_of(path: Path, otherwise: int) -> int:
    try:
        return stat.S_IMODE(os.stat(path).st_mode)
    except OSError:
        return otherwise


def _holder(folder: Path) -> str:
    # Beside the lock, not in it: some systems let nobody read a locked file.
    try:
        return (folder / HOLDER).read_text(encoding="utf-8", errors="replace")[:200].strip() or "unknown"
    except OSError:
        return "unknown"


def _kept_lately(folder: Path) -> bool:
    """Return True if a console wrote its present instant a moment ago."""
    for name in NOW:
        with suppress(OSError):
            if abs(time.time() - os.stat(folder / name).st_mtime) < FRESH_S:
                return True
    return False
