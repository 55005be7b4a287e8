r"""Sentences as they come over a wire or stand in a log: TAG blocks, framing, checksum, numbers.

    \s:WI0001,n:23,c:1714564800*56\$WIMWV,214.8,R,12.3,N,A*1C

Everything here takes and gives bytes, and knows no clock and no port. IEC 61162-1 makes the checksum
mandatory; a sentence without one is refused (and counted as such), because half a sentence has lost just
that. The same holds for TAG blocks.
"""

from functools import lru_cache
from typing import Final, NamedTuple

from alongside.feeds.flaws import Flaw, Flawed

NAN: Final = float("nan")

LONGEST: Final = 1024
"""Bytes of one line. The standard allows 82 to a sentence; makers take more, noise takes no end."""

MILLISECONDS_FROM: Final = 1e11
"""A TAG time from here on is in milliseconds: 1e11 s lies 3000 years ahead, 1e11 ms in 1973."""

FROM: Final = b",t:from "
"""Stands before the sender's address in the TAG block of a recorded datagram: a text, by the standard."""


class Tag(NamedTuple):
    """What the TAG blocks of one line say: time (UNIX seconds, NaN for none), source, the address of who
    sent the datagram, "" for none, and the source that numbers the line with its number, -1 for none."""

    time: float
    source: bytes | None
    sender: str = ""
    numbered_by: bytes = b""
    number: int = -1


NO_TAG: Final = Tag(NAN, None)

_HEX: Final = {f"{n:02X}".encode(): n for n in range(256)} | {f"{n:02x}".encode(): n for n in range(256)}
_SHIFTS: Final = tuple(tuple(8 << k for k in reversed(range(bits))) for bits in range(14))
_PRINTABLE: Final = bytes(range(32, 127))
_NUMERIC: Final = b"0123456789.+-"
OF_ADDRESSES: Final = b"0123456789abcdef.:"
LEAST_ADDRESS: Final = 2
MOST_ADDRESS: Final = 45
"""Characters of an address of IPv4 or IPv6."""
MOST_DIGITS: Final = 3
"""Of the number of a line, 1 to 999."""
_LONGEST_NUMBER: Final = 24
_NUMBERS_KEPT: Final = 16_384


def checksum(body: bytes) -> int:
    """Return XOR of all bytes: the whole as one integer, folded upon itself until one byte is left."""
    folded = int.from_bytes(body, "little")
    for shift in _SHIFTS[(len(body) - 1).bit_length()] if body else ():
        folded ^= folded >> shift
    return folded & 0xFF


class _Numbers(dict[bytes, float]):
    """Numbers read lately; gauges send the same few thousand over and over."""

    def __missing__(self, field: bytes) -> float:
        if field.translate(None, _NUMERIC) or len(field) > _LONGEST_NUMBER:
            raise ValueError(f"not a number: {field!r}")
        if len(self) >= _NUMBERS_KEPT:
            self.clear()
        value = self[field] = float(field) if field else NAN
        return value


_NUMBERS: Final = _Numbers()


def number(field: bytes) -> float:
    """Return the number of a field; NaN when the field is empty.

    Only sign, digits and one point make a number: `nan`, `inf`, `1e5`, `+ 3`, `1_0` and digits of other
    scripts raise ValueError.
    """
    return _NUMBERS[field]


def read_tags(raw: bytes) -> Tag:
    """Return what TAG blocks in a row say, `raw` from the first backslash to the last.

    The first `c:` and the first `s:` found win: whoever recorded the line put his own block in front of
    what came in. Only that first block can name the sender. Raises Flawed when a block is wrong.
    """
    parts = raw.split(b"\\")
    if len(parts) % 2 == 0 or any(parts[::2]):
        raise Flawed(Flaw.GARBLED)
    time, source, sender, numbered_by, number = NO_TAG
    for at, block in enumerate(parts[1::2]):
        if block[-3:-2] != b"*":
            raise Flawed(Flaw.NO_CHECKSUM)
        if _HEX.get(block[-2:]) != checksum(block[:-3]):
            raise Flawed(Flaw.CHECKSUM)
        for item in block[:-3].split(b","):
            key = item[:2]
            if key == b"c:" and time != time:
                time = _tag_time(item[2:])
            elif key == b"s:" and source is None:
                source = item[2:]
            elif key == b"t:" and not at and not sender:
                sender = _sender(item[2:])
            elif key == b"n:" and number < 0:
                numbered_by, number = _numbered(block[:-3], item[2:])
    return Tag(time, source, sender, numbered_by, number)


def _numbered(block: bytes, text: bytes) -> tuple[bytes, int]:
    """Return the source of a TAG block and the number of its line, -1 for what is none."""
    if not (1 <= len(text) <= MOST_DIGITS and text.isdigit()):
        return b"", -1
    source = next((item[2:] for item in block.split(b",") if item[:2] == b"s:"), b"")
    return source, int(text)


def _sender(text: bytes) -> str:
    """Return the address of a text `from ADDRESS`; "" for any other text."""
    word, _, address = text.partition(b" ")
    if word != b"from":
        return ""
    whole = LEAST_ADDRESS <= len(address) <= MOST_ADDRESS and not address.translate(None, OF_ADDRESSES)
    return address.decode("ascii") if whole else ""


def _tag_time(field: bytes) -> float:
    """Return UNIX seconds of a `c:`, NaN where it is not a time."""
    try:
        time = number(field)
    except ValueError:
        return NAN
    if time < 0.0:
        return NAN
    return in_seconds(time)


def in_seconds(time: float) -> float:
    """Return the UNIX seconds of a TAG time, which may be in milliseconds."""
    return time / 1000.0 if time >= MILLISECONDS_FROM else time


def split_tags(line: bytes) -> tuple[Tag, bytes]:
    """Return the TAG blocks in front of a line, read, and the rest of the line. Raises Flawed."""
    end = 0
    while line[end : end + 1] == b"\\":
        close = line.find(b"\\", end + 1)
        if close < 0:
            raise Flawed(Flaw.GARBLED)
        end = close + 1
    return (read_tags(line[:end]) if end else NO_TAG), line[end:]


def is_sentence(line: bytes) -> bool:
    """Return True if a line (TAG blocks taken off) begins as a sentence does."""
    return line[:1] in (b"$", b"!")


def said_by(line: bytes, needs_checksum: bool = True) -> bytes:
    """Return the text between start and checksum of a sentence whose checksum is right: `WIMWV,214.8,R`; or
    of one that has none, where it needs none.

    Where a line holds half a sentence or noise before a whole one, the whole one counts. Raises Flawed.
    """
    if len(line) > LONGEST:
        raise Flawed(Flaw.OVERLONG)
    line = line.rstrip(b"\r\n\t \0")
    begin = max(line.rfind(b"$"), line.rfind(b"!"))
    if begin < 0 or line[begin:].translate(None, _PRINTABLE):
        raise Flawed(Flaw.GARBLED)
    body, star, digits = line[begin + 1 :].partition(b"*")
    if not star:
        if needs_checksum or not body:
            raise Flawed(Flaw.NO_CHECKSUM)
        return body
    stated = _HEX.get(digits)
    if stated is None or not body:
        raise Flawed(Flaw.GARBLED)
    if stated != checksum(body):
        raise Flawed(Flaw.CHECKSUM)
    return body


def sentence(body: bytes | str) -> bytes:
    """Return a whole sentence from its text: start, checksum, no line end."""
    if isinstance(body, str):
        body = body.encode("ascii")
    return b"$%s*%02X" % (body, checksum(body))


@lru_cache(maxsize=256)
def tag_name(name: str) -> bytes:
    """Return a feed's name as it stands in a TAG block: printable, without marks that mean something
    there."""
    text = name.encode("ascii", "replace")
    return bytes(c if 32 < c < 127 and c not in b"$!*,\\^~" else ord("_") for c in text)


def tag_block(source: bytes, time: float, sender: str = "") -> bytes:
    """Return a TAG block with source and time, in milliseconds, and who sent the line where that is known."""
    body = b"s:%s,c:%d" % (source, round(time * 1000.0))
    if sender:
        body += FROM + sender.encode()
    return b"\\%s*%02X\\" % (body, checksum(body))
