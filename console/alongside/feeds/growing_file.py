"""A file that another program writes: read as it grows, over rotation and truncation."""

import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from io import FileIO
from pathlib import Path
from typing import ClassVar, Final

from alongside.feeds.inbox import Inbox
from alongside.feeds.reader import FIRST_WAIT_S, PortReader
from alongside.feeds.sentence import LONGEST
from alongside.stay.plain_file import NotPlain, check_plain
from alongside.stay.ports import FilePort

LOOK_S: Final = 0.2
"""So often is a file looked at that did not grow."""
PIECE: Final = 1 << 16
"""Bytes read at a time."""
_REMEMBERED: Final = 64
"""Last bytes read that must still stand where they were: a file that was cut and has grown past the place
since is longer than before."""
_GZIP: Final = b"\x1f\x8b"
EXPECTED: Final = "a file of lines that another program writes"


@dataclass(frozen=True, slots=True)
class _Place:
    """How far a file was read: which file it is, and the last bytes before `at`."""

    file: tuple[int, int]
    at: int
    before: bytes


class FileReader(PortReader[FilePort]):
    """Reads on where it was, also after a failure. Another file of the same name (rotation) is read from its
    start once the old one holds no more; so is a file that was cut, or written anew. A file that comes only
    after the watch has begun is read from its start: all of it is new."""

    longest: ClassVar[int] = LONGEST
    """Bytes of a line that is taken."""
    _file: FileIO | None = None
    _place: _Place | None = None
    _awaited = False

    def __init__(
        self,
        port: FilePort,
        feed: str,
        inbox: Inbox,
        wall: Callable[[], float] = time.time,
        first_wait: float = FIRST_WAIT_S,
        folder: Path = Path(),
    ) -> None:
        super().__init__(port, feed, inbox, wall, first_wait)
        self._path = folder / Path(port.path).expanduser()

    def _name(self) -> str:
        return str(self._path)

    def _open(self) -> None:
        try:
            check_plain(self._path, EXPECTED)
            self._file = opened = self._path.open("rb", buffering=0)
        except FileNotFoundError:
            self._awaited = True
            raise
        except NotPlain as error:
            raise OSError(str(error)) from error
        if opened.read(len(_GZIP)) == _GZIP:
            raise OSError(f"is gzipped, expected {EXPECTED}")
        known = self._place
        if known is not None and known.file == _identity(opened) and self._still_stands(known):
            self._begin_at(self._end_of_lines(known.at))
        elif known is not None or self._awaited or self.port.from_start:
            self._begin_at(0)
        else:
            self._begin_at(self._end_of_lines(os.fstat(opened.fileno()).st_size))

    def _end_of_lines(self, before: int) -> int:
        """Return where the last line ends that is whole before a place: half a line may be a wrong figure."""
        assert self._file is not None
        begin = max(0, before - self.longest)
        self._file.seek(begin)
        last = self._file.read(before - begin)
        whole = max(last.rfind(b"\n"), last.rfind(b"\r")) + 1
        return begin + whole if whole or not begin else before

    def _begin_at(self, at: int) -> None:
        assert self._file is not None
        self._file.seek(at)
        self._cutter.clear()
        self._remember(b"")

    def _remember(self, data: bytes) -> None:
        """Note how far the file was read, `data` last."""
        assert self._file is not None
        before = self._place.before if self._place is not None and data else b""
        self._place = _Place(_identity(self._file), self._file.tell(), (before + data)[-_REMEMBERED:])

    def _still_stands(self, place: _Place) -> bool:
        """Return whether what was read last still stands where it was."""
        assert self._file is not None
        if os.fstat(self._file.fileno()).st_size < place.at:
            return False
        self._file.seek(place.at - len(place.before))
        return self._file.read(len(place.before)) == place.before

    def _read(self) -> tuple[str, list[bytes]]:
        assert self._file is not None
        assert self._place is not None
        if not self._still_stands(self._place):
            self._begin_at(0)
        data = self._file.read(PIECE) or (self._file.read(PIECE) if self._is_replaced() else b"")
        if data:
            self._remember(data)
            return "", self._cutter.cut(data)
        if self._is_replaced():
            self._close()
            self._file = self._path.open("rb", buffering=0)
            self._begin_at(0)
        else:
            time.sleep(LOOK_S)
        return "", []

    def _is_replaced(self) -> bool:
        """Return whether the name stands for another file now. While it stands for none, the old one is read
        on: what writes it may not have begun a new one."""
        assert self._place is not None
        try:
            now = self._path.stat()
        except OSError:
            return False
        return (now.st_dev, now.st_ino) != self._place.file

    def _close(self) -> None:
        if self._file is not None:
            self._file.close()
            self._file = None


def _identity(file: FileIO) -> tuple[int, int]:
    status = os.fstat(file.fileno())
    return status.st_dev, status.st_ino
