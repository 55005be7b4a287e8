"""The present instant for a second console, and a second copy of the memory: two small files, written in
turn, each second.

They are written in place and not flushed: what must outlast a loss of power is in the journal. One that was
cut off in mid-write shows by its sum, and the other still holds the second before.
"""

import errno
import json
import struct
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Final

from alongside.cycle.picture import FeedRow
from alongside.record.access import OWNER_ONLY, Access
from alongside.record.codec import from_plain, to_plain
from alongside.record.entries import Run
from alongside.record.faults import WrongRecord
from alongside.record.layout import NOW

_HEAD: Final = struct.Struct("<IIIId")
"""Sum of all behind it; lengths of words, state and memory; time."""
ROOM: Final = 1 << 16
"""Bytes set aside at the start, so that a full disk does not stop it."""


@dataclass(frozen=True, slots=True)
class Now:
    """`seq` counts up with every write; `run_started` says of which run the state is."""

    time: float
    run_started: float
    lines: tuple[str, ...]
    """Ids of the lines, in the order of the memory's lengths."""
    seq: int
    unrecorded: str
    feeds: tuple[FeedRow, ...]
    state: bytes
    memory: bytes


class NowFiles:
    """Writes the instants of one run. Raises OSError."""

    def __init__(self, folder: Path, run: Run, access: Access = OWNER_ONLY) -> None:
        self._fixed = {"run_started": run.started, "lines": list(run.columns.lines)}
        self._seq = 0
        self._files: list[BinaryIO] = []
        try:
            for name in NOW:
                self._files.append(_with_room(folder / name, access))
        except OSError:
            self.close()
            raise

    def write(
        self, time: float, unrecorded: str, feeds: Sequence[FeedRow], state: bytes, memory: bytes
    ) -> None:
        self._seq += 1
        header = self._fixed | {"seq": self._seq, "unrecorded": unrecorded, "feeds": to_plain(tuple(feeds))}
        words = json.dumps(header, ensure_ascii=False).encode()
        body = words + state + memory
        head = _HEAD.pack(0, len(words), len(state), len(memory), time)[4:]
        whole = struct.pack("<I", zlib.crc32(head + body)) + head + body
        file = self._files[self._seq % len(NOW)]
        file.seek(0)
        _write(file, whole)

    def close(self) -> None:
        for file in self._files:
            file.close()
        self._files = []


def read_now(folder: Path) -> Now | None:
    """Return the newest instant that is whole; None where there is none."""
    whole = [now for now in (_read(folder / name) for name in NOW) if now is not None]
    return max(whole, key=lambda now: (now.time, now.seq), default=None)


def _with_room(path: Path, access: Access) -> BinaryIO:
    access.make_file(path)
    file = path.open("r+b", buffering=0)
    try:
        size = file.seek(0, 2)
        if size < ROOM:
            _write(file, bytes(ROOM - size))
    except OSError:
        file.close()
        raise
    return file


def _write(file: BinaryIO, whole: bytes) -> None:
    if (file.write(whole) or 0) < len(whole):
        raise OSError(errno.ENOSPC, "No space left on device")


def _read(path: Path) -> Now | None:
    try:
        whole = path.read_bytes()
    except OSError:
        return None
    if len(whole) < _HEAD.size:
        return None
    total, words, state, memory, time = _HEAD.unpack_from(whole)
    end = _HEAD.size + words + state + memory
    if not words or end > len(whole) or zlib.crc32(whole[4:end]) != total:
        return None
    parts = whole[_HEAD.size : end]
    try:
        header = json.loads(parts[:words])
        feeds = from_plain(tuple[FeedRow, ...], header["feeds"], str(path))
        run = float(header["run_started"]), from_plain(tuple[str, ...], header["lines"], str(path))
        seq, unrecorded = int(header["seq"]), str(header["unrecorded"])
    except (ValueError, KeyError, TypeError, WrongRecord):
        return None
    return Now(time, *run, seq, unrecorded, feeds, parts[words : words + state], parts[words + state :])
