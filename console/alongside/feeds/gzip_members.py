"""Gzipped logs written in members of ten minutes, so that a time in them is found without unzipping what
comes before.

Members one behind the other are one gzip file (RFC 1952, 2.2): any reader of gzip reads all of them. Each of
ours says in an extra field of its header (2.3.1.1) what the latest time was up to its first line: it never
falls, whatever a clock did.
"""

import re
import struct
import zlib
from typing import BinaryIO, Final

MEMBER_S: Final = 600.0
MEMBER_BYTES: Final = 4_000_000
"""A member ends sooner where so much was said in it."""
LEVEL: Final = 6
_ID: Final = b"LT"
_HEADER: Final = struct.Struct("<4sIBBH2sHq")
"""Magic, method and flags; MTIME, left 0; XFL; OS; XLEN; then one subfield: its id, its length, ms."""
_FIXED: Final = b"\x1f\x8b\x08\x04"
_FOUND: Final = re.compile(
    re.escape(_HEADER.pack(_FIXED, 0, 0, 255, 12, _ID, 8, 0)[: -struct.calcsize("<q")]) + rb"(.{8})",
    re.DOTALL,
)
_PIECE: Final = 1 << 18


class GzipMembers:
    """Compresses lines into members of a gzip file, each of ten minutes of their times. The bytes hang on
    nothing but what was given and how often it was flushed."""

    def __init__(self, level: int = LEVEL) -> None:
        self._level = level
        self._member: zlib._Compress | None = None
        self._newest, self._begun, self._size, self._sum = 0.0, 0.0, 0, 0

    def compress(self, time: float, text: bytes) -> bytes:
        """Return what is to be written for whole lines, the first of which came at `time`, UNIX seconds."""
        packed = b""
        self._newest = max(self._newest, time)
        if self._member is not None and self._is_full():
            packed = self.finish()
        if self._member is None:
            packed += self._begin()
        assert self._member is not None, "begun above"
        self._size += len(text)
        self._sum = zlib.crc32(text, self._sum)
        return packed + self._member.compress(text)

    def flush(self) -> bytes:
        """Return what is still to be written so that all can be read that was given."""
        return b"" if self._member is None else self._member.flush(zlib.Z_SYNC_FLUSH)

    def finish(self) -> bytes:
        """Return the end of the file; of one without a line an empty member."""
        start = self._begin() if self._member is None else b""
        assert self._member is not None, "begun above"
        packed = self._member.flush() + struct.pack("<II", self._sum, self._size & 0xFFFF_FFFF)
        self._member = None
        return start + packed

    def _is_full(self) -> bool:
        return self._newest >= self._begun + MEMBER_S or self._size >= MEMBER_BYTES

    def _begin(self) -> bytes:
        self._member = zlib.compressobj(self._level, zlib.DEFLATED, -15)
        self._begun, self._size, self._sum = self._newest, 0, 0
        return _HEADER.pack(_FIXED, 0, 0, 255, 12, _ID, 8, int(self._newest * 1000.0))


def seek_member(file: BinaryIO, time: float) -> bool:
    """Bring a gzipped log to the beginning of the last member up to whose first line no time was as late as
    `time`, UNIX seconds, found by halving. Return False, and leave it at its own beginning, where its first
    member is not one of ours."""
    first, end = _next_member(file, 0, 1), file.seek(0, 2)
    low, high = 0, end
    while first is not None and high > low + 1:
        middle = (low + high) // 2
        found = _next_member(file, middle, high)
        if found is None or found[1] >= time:
            high = middle
        else:
            low = found[0]
    file.seek(low)
    return first is not None


def _next_member(file: BinaryIO, start: int, stop: int) -> tuple[int, float] | None:
    """Return the place of the first member of ours that begins in bytes `start` to `stop`, and the latest
    time up to its first line, UNIX seconds; None where there is none."""
    while start < stop:
        file.seek(start)
        size = min(_PIECE, stop - start)
        piece = file.read(size + _HEADER.size - 1)
        if found := _FOUND.search(piece):
            return start + found.start(), int.from_bytes(found[1], "little", signed=True) / 1000.0
        start += size
    return None
