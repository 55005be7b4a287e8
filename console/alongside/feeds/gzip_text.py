"""The text of a gzip file in pieces, up to where it breaks off; and text packed into members of ours."""

import re
import zlib
from collections.abc import Iterator
from typing import BinaryIO, Final

from alongside.feeds.block import one_line_end
from alongside.feeds.flaws import Flawed
from alongside.feeds.gzip_members import LEVEL, GzipMembers
from alongside.feeds.sentence import NAN, in_seconds, split_tags

READ: Final = 1 << 16
TEXT: Final = 1 << 19
"""Most bytes of text in a piece that is yielded."""
PIECE: Final = 1 << 16
"""Bytes of text after which a member may begin."""
LONGEST: Final = 1 << 20
"""So many bytes without a line end are no lines of a log, and are cut anywhere."""
_FIRST_TIMES: Final = re.compile(rb"^\\(?:[^\\*\r\n]*,)?c:(\d{9,13})[,*]", re.MULTILINE)
"""Times as nearly all lines bear them: digits alone, in their first TAG block, whose first `c:` counts."""


class Unzipped:
    """What a gzip file holds from where it stands on, which is the beginning of a member; members follow one
    another. `note` says in the end in plain words what is wrong with it, "" for a whole one."""

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self.note = ""

    def __iter__(self) -> Iterator[bytes]:
        member, packed = zlib.decompressobj(wbits=31), b""
        while packed := packed or self._file.read(READ):
            before = member.copy()
            try:
                text = member.decompress(packed, TEXT)
            except zlib.error:
                self.note = "is damaged; everything before the damage was read"
                yield _up_to_damage(before, packed)
                return
            if text:
                yield text
            packed = member.unconsumed_tail
            if member.eof:
                packed = member.unused_data.lstrip(b"\0")
                member = zlib.decompressobj(wbits=31)
                if not packed and not (packed := self._file.read(READ)):
                    return
        self.note = "breaks off; everything before the break was read"


def _up_to_damage(member: "zlib._Decompress", packed: bytes) -> bytes:
    """Return the part of a damaged piece that can still be unzipped."""
    text = []
    for at in range(len(packed)):
        try:
            text.append(member.decompress(packed[at : at + 1]))
        except zlib.error:
            break
    return b"".join(text)


class TextInMembers:
    """Packs the text of a log, in whatever pieces it comes, into members of ours that begin with a line."""

    def __init__(self, level: int = LEVEL) -> None:
        self._members = GzipMembers(level)
        self._newest, self._rest = 0.0, b""

    def compress(self, text: bytes) -> bytes:
        """Return what is to be written for the next text."""
        text, packed, at = self._rest + text, [], 0
        while len(text) - at >= PIECE:
            end = _after_line(text, at, at + PIECE) or _after_line(text, at, len(text))
            if not end and len(text) - at < LONGEST:
                break
            end = end or len(text)
            packed.append(self._packed(text[at:end]))
            at = end
        self._rest = text[at:]
        return b"".join(packed)

    def finish(self) -> bytes:
        """Return the end of the file."""
        return self._packed(self._rest) + self._members.finish()

    def _packed(self, text: bytes) -> bytes:
        packed = self._members.compress(self._newest, text)
        self._newest = max(self._newest, _latest(text))
        return packed


def _after_line(text: bytes, begin: int, end: int) -> int:
    """Return the place after the last line end in a part of a text, 0 where there is none. A CR at the very
    end of the text may be half of one."""
    return text.rfind(b"\n", begin, end) + 1 or text.rfind(b"\r", begin, min(end, len(text) - 1)) + 1


def _latest(text: bytes) -> float:
    """Return the latest time, UNIX s, that two lines in a row agree to have come to; 0 where there is none. A
    single wrong time by far counts for nothing: it would hide all lines after it."""
    texts: list[bytes] = _FIRST_TIMES.findall(text)
    tagged = text.count(b"\n\\") + text.startswith(b"\\")
    if len(texts) == tagged and len(set(map(len, texts))) == 1 and b"\r\\" not in text:
        # Texts of one length are in the order of their numbers.
        return in_seconds(float(max(map(min, texts, texts[1:]), default=0.0)))
    lines = one_line_end(text).split(b"\n")
    times = [time for line in lines if (time := _time_of(line)) == time]
    return max(map(min, times, times[1:]), default=0.0)


def _time_of(line: bytes) -> float:
    try:
        return split_tags(line)[0].time
    except Flawed:
        return NAN
