"""The sentences of the gauges as feed logs: a file an hour, or sooner when one grows large, each compressed
once the next has begun."""

import os
import re
from collections.abc import Sequence
from contextlib import suppress
from datetime import UTC, datetime
from math import floor
from pathlib import Path
from typing import Final

from alongside.feeds.gzip_text import TextInMembers
from alongside.feeds.inbox import FeedLine
from alongside.feeds.logwriter import LogWriter
from alongside.record.access import OWNER_ONLY, Access

LARGEST: Final = 8_000_000
"""Bytes of one file before it is compressed."""
HOUR_S: Final = 3600.0
PIECE: Final = 1 << 18
"""Bytes compressed in one cycle, some milliseconds' worth."""
SYNC_S: Final = 30.0
"""How often it is made sure that what was written would outlast a loss of power."""

_NAME: Final = re.compile(r"feeds-(\d{8}T\d{2})Z-(\d{2,})\.log(\.gz)?")

Lines = Sequence[FeedLine]


class FeedFiles:
    """Writes the feed logs of one folder; continues the newest where it is of the same hour.

    Lines are in the hands of the operating system when `write` returns, so that a kill of the program loses
    none. Raises OSError; then nothing of the lines is in the file.
    """

    def __init__(self, folder: Path, largest: int = LARGEST, access: Access = OWNER_ONLY) -> None:
        self._folder = folder
        self._access = access
        self._largest = largest
        self._writer: LogWriter | None = None
        self._hour = ""
        self._size = 0
        self._synced = 0.0
        self._packing: _Packing | None = None
        self._untidy = True

    def write(self, now: float, lines: Lines) -> None:
        """Keep lines of a cycle. They go to the file of the hour of `now`."""
        if not lines:
            return
        hour = _hour_of(now)
        if self._writer is None or hour != self._hour or self._size >= self._largest:
            self._begin(hour)
        writer = self._writer
        assert writer is not None, "begun above"
        try:
            writer.write_lines(lines)
            if not 0.0 <= now - self._synced < SYNC_S:
                writer.sync()
                self._synced = now
        except OSError:
            self._take_back()
            raise
        self._size = writer.path.stat().st_size

    @property
    def name(self) -> str:
        """Return the name of the log that is being written; "" for none."""
        return "" if self._writer is None else self._writer.path.name

    def tidy(self) -> None:
        """Compress a piece of what is closed and not compressed yet. Raises OSError."""
        if self._packing is None and not self._begin_packing():
            return
        assert self._packing is not None, "begun above"
        try:
            done = self._packing.piece()
        except OSError:
            self._packing.give_up()
            self._packing = None
            raise
        if done:
            self._packing = None

    def close(self) -> None:
        """Close what is open; the next to open the folder continues or compresses it."""
        writer, self._writer = self._writer, None
        if writer is not None:
            writer.close()
        if self._packing is not None:
            self._packing.give_up()
            self._packing = None

    def _take_back(self) -> None:
        """Part of the lines may be in the file; all of them will be written again. Where even that fails,
        some stand there twice."""
        assert self._writer is not None, "it has just failed"
        with suppress(OSError):
            os.truncate(self._writer.path, self._size)
        with suppress(OSError):
            self.close()
        self._writer = None

    def _begin_packing(self) -> bool:
        if self._writer is None or not self._untidy:
            return False
        current = self._writer.path
        closed = [path for path in feed_logs(self._folder) if path.suffix != ".gz" and path != current]
        self._untidy = bool(closed)
        if closed:
            self._packing = _Packing(closed[0], self._access)
        return bool(closed)

    def _begin(self, hour: str) -> None:
        self.close()
        here = [(part, path) for part, path in _parts(self._folder, hour)]
        part, path = here[-1] if here else (0, self._folder / f"feeds-{hour}Z-00.log")
        if here and (path.suffix == ".gz" or path.stat().st_size >= self._largest):
            path = self._folder / f"feeds-{hour}Z-{part + 1:02d}.log"
        self._access.make_file(path)
        self._writer = LogWriter(path, append=True)
        self._hour, self._size, self._untidy = hour, path.stat().st_size, True


class _Packing:
    """One closed log on its way into a .gz beside it; the log goes when the .gz is whole and on the disk."""

    def __init__(self, log: Path, access: Access) -> None:
        self._log = log
        self._target = log.with_suffix(".log.gz")
        self._part = log.with_suffix(".log.gz.part")
        self._zip = TextInMembers()
        self._from = log.open("rb")
        try:
            access.make_file(self._part)
            self._to = self._part.open("wb")
        except OSError:
            self._from.close()
            raise

    def piece(self) -> bool:
        """Compress one piece more; return True when it is done."""
        piece = self._from.read(PIECE)
        if piece:
            self._to.write(self._zip.compress(piece))
            return False
        self._to.write(self._zip.finish())
        self._to.flush()
        os.fsync(self._to.fileno())
        self._close()
        self._part.replace(self._target)
        self._log.unlink()
        return True

    def give_up(self) -> None:
        """Leave the log as it is."""
        self._close()
        self._part.unlink(missing_ok=True)

    def _close(self) -> None:
        self._from.close()
        try:
            self._to.close()
        except OSError:
            return  # a full disk again, which stands in the alert; the part goes anyway


def feed_logs(folder: Path, begin: float = float("-inf"), end: float = float("inf")) -> tuple[Path, ...]:
    """Return feed logs of a record that hold lines between two times, in order. Of a log of which the
    compressed one is there as well, that one."""
    logs: dict[tuple[str, int], Path] = {}
    for path in sorted(folder.glob("feeds-*Z-*.log*")):
        named = _NAME.fullmatch(path.name)
        if named and begin - HOUR_S < _start_of(named[1]) <= end:
            logs[named[1], int(named[2])] = path  # .log.gz sorts after .log
    return tuple(logs[key] for key in sorted(logs))


def _parts(folder: Path, hour: str) -> list[tuple[int, Path]]:
    start = _start_of(hour)
    named = [(_NAME.fullmatch(path.name), path) for path in feed_logs(folder, start, start)]
    return [(int(name[2]), path) for name, path in named if name and name[1] == hour]


def _hour_of(time: float) -> str:
    return f"{datetime.fromtimestamp(floor(time), UTC):%Y%m%dT%H}"


def _start_of(hour: str) -> float:
    return datetime.strptime(f"{hour}+0000", "%Y%m%dT%H%z").timestamp()
