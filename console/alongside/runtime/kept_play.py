"""What a replay was played ahead to, kept for the next one of the same log and stay: stretches of half an
hour, each with its events, the memory after it and the history of the charts.

Memories are written as those of a watch are, to the last digit (`alongside.record.codec`). The key has all
on which a figure may hang: log, stay, cycle, the program's own files, Python and numpy. What was done at the
desk changes what follows, so only what is played as it was recorded is kept.
"""

import struct
import sys
import zlib
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from pathlib import Path
from typing import BinaryIO, Final

import numpy as np

import alongside
from alongside.alerts.model import Event
from alongside.errors import AlongsideError
from alongside.feeds.kept_files import KeptFiles
from alongside.feeds.log_identity import identity
from alongside.record.codec import from_text, to_text
from alongside.runtime.log_player import LogSource
from alongside.runtime.stretch import Stretch

SPAN_S: Final = 1200.0
"""A stretch that is kept ends when so much has passed since the end of its first part."""
LEAST: Final = 12
"""Fewer stretches are played again as fast as they are read."""
RULES: Final = 1
"""Goes up when what is written changes."""
KEPT: Final = KeptFiles("replays", ".play", 1 << 29)
_HEAD: Final = struct.Struct("<IIII")
"""Bytes of the three parts of an entry, and the sum of all of them; four times 0 at the end of the log."""


@dataclass(frozen=True, slots=True)
class _Entry:
    """What is read of a stretch as soon as it is there."""

    time: float
    events: tuple[Event, ...]
    names: tuple[str, ...]
    rows: int


class KeptPlay:
    """What is kept of one source: all of it, or nothing, since a play that goes on from its middle rounds
    otherwise. A disk that is full or fails loses nothing but time."""

    def __init__(self, source: LogSource) -> None:
        self._source, self._key = source, ""
        self._data: list[bytes] = []
        self._fresh: list[Stretch] = []

    def stretches(self) -> list[Stretch]:
        """Return the stretches of the whole log that an earlier replay has kept; none where there are none
        or any of them cannot be read. Then what is played from the beginning can be added."""
        self._key = _key(self._source)
        try:
            file = KEPT.opened(self._key) if self._key else None
            if file is None:
                return []
            with file:
                return [_stretch(*parts) for parts in iter(partial(_read, file), [])]
        except (OSError, AlongsideError, ValueError, zlib.error):
            return []  # what cannot be read is played

    def add(self, stretch: Stretch) -> None:
        """Take the next stretch that was played."""
        if not self._key:
            return
        self._fresh.append(stretch)
        if stretch.time - self._fresh[0].time >= SPAN_S:
            self._join()

    def keep(self) -> None:
        """Keep all that was added, which is the whole log, if it is worth it."""
        if self._fresh:
            self._join()
        if self._key and len(self._data) >= LEAST:
            with suppress(OSError), KEPT.begin(sum(map(len, self._data))) as part:
                for data in (*self._data, _HEAD.pack(0, 0, 0, 0)):
                    part.write(data)
                part.keep(self._key)
        self.drop()

    def drop(self) -> None:
        """Forget what was added: it is not played to its end as it was recorded."""
        self._key, self._data, self._fresh = "", [], []

    def _join(self) -> None:
        """Make one entry of the fresh stretches."""
        fresh, self._fresh = self._fresh, []
        last = fresh[-1]
        if any(each.names != last.names for each in fresh):
            self.drop()  # another deck, without anything done: that cannot be, and nothing is kept
            return
        time = np.concatenate([each.past_time for each in fresh])
        past = np.concatenate([each.past for each in fresh])
        events = tuple(event for each in fresh for event in each.events)
        entry = _Entry(last.time, events, last.names, len(time))
        columns = np.ascontiguousarray(past.T, dtype="<f4").tobytes()
        parts = [
            to_text(entry).encode(),
            to_text(last.memory).encode(),
            time.astype("<f8").tobytes() + columns,
        ]
        packed = [zlib.compress(part, 1) for part in parts]
        head = _HEAD.pack(*map(len, packed), zlib.crc32(b"".join(packed)))
        self._data.append(head + b"".join(packed))


def _read(file: BinaryIO) -> list[bytes]:
    """Return the parts of the next entry, none at the end. Raises ValueError where the file breaks off or is
    damaged."""
    head = file.read(_HEAD.size)
    if len(head) < _HEAD.size:
        raise ValueError("breaks off")
    *sizes, total = _HEAD.unpack(head)
    parts = [file.read(size) for size in sizes if size]
    if zlib.crc32(b"".join(parts)) != total or len(parts) not in (0, 3):
        raise ValueError("is damaged")
    return parts


def _stretch(packed: bytes, memory: bytes, past: bytes) -> Stretch:
    """Return the stretch of an entry. Raises AlongsideError, ValueError or zlib.error."""
    entry = from_text(_Entry, zlib.decompress(packed))
    raw = zlib.decompress(past)
    times = np.frombuffer(raw, "<f8", entry.rows).astype(np.float64)
    values = np.frombuffer(raw, "<f4", offset=entry.rows * 8).astype(np.float32)
    if values.size != entry.rows * len(entry.names):
        raise ValueError("not as many values as rows and names")
    columns = zlib.compress(values.tobytes(), 1)
    return Stretch(entry.time, entry.events, entry.names, times, memory, columns, as_text=True)


def _key(source: LogSource) -> str:
    """Return under what a source is kept; "" for one that is not: an exercise, a log that is not there."""
    if source.staging is not None:
        return ""
    basis = source.basis
    stay = to_text(replace(basis.stay, file=""))
    cycle = source.cycle.__qualname__, source.every, source.end, basis.ahead
    try:
        with source.path.open("rb") as file:
            return identity(file, RULES, stay, cycle, program())
    except (OSError, TypeError):
        return ""


@lru_cache(maxsize=1)
def program() -> tuple[object, ...]:
    """Return by what this program is told from any other version of it, and what it stands on."""
    files = sorted(Path(alongside.__file__).parent.rglob("*.py"))
    states = [(path.name, state.st_size, state.st_mtime_ns) for path in files if (state := path.stat())]
    return sys.version, np.__version__, states
