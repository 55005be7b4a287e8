"""Many lines at once: where each begins and ends, and whether it is beyond doubt a sound sentence.

Framing and checksums of a whole block by numpy; what is in doubt is left to `alongside.feeds.sentence`, line
by line, whose verdict on a sound line is always the same.
"""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from alongside.feeds.sentence import (
    FROM,
    LEAST_ADDRESS,
    LONGEST,
    MILLISECONDS_FROM,
    MOST_ADDRESS,
    OF_ADDRESSES,
)
from alongside.readings import Floats

Positions = NDArray[np.int64]
Bytes = NDArray[np.uint8]

Flags = NDArray[np.bool_]

_LF, _CR, _BACKSLASH, _STAR, _COMMA, _COLON = 10, 13, 92, 42, 44, 58
_DOLLAR, _BANG, _SPACE, _TILDE = 36, 33, 32, 126
_LEAST_TIME, _MOST_TIME = 9, 13
"""Digits of a plain TAG time: seconds or milliseconds."""
_NO_HEX: Final = -1
_ALIKE: Final = 16
"""Texts that all lines are compared with; what is none of them is looked up line by line."""


def _hex_values() -> NDArray[np.int16]:
    values = np.full(256, _NO_HEX, dtype=np.int16)
    for digit in b"0123456789ABCDEFabcdef":
        values[digit] = int(chr(digit), 16)
    return values


_HEX_VALUE: Final = _hex_values()
_IS_ADDRESS: Final = np.isin(np.arange(256), list(OF_ADDRESSES))


class Framed(NamedTuple):
    """k lines that are not empty: `block[start:body]` the TAG blocks (empty for none), `block[body:end]`
    the rest without line end; `sound` where the rest is one whole sentence with the right checksum.

    `plain` where the TAG blocks are a single right one of source and time, and perhaps who sent the datagram:
    `block[start + 3:comma]` is the source, `time` the time in s (NaN elsewhere), `block[sender:star]` the
    sender's address (empty for none).
    """

    start: Positions
    body: Positions
    end: Positions
    sound: Flags
    plain: Flags
    comma: Positions
    time: Floats
    sender: Positions
    star: Positions


def stands(byte: Bytes, begin: Positions, end: Positions, text: bytes) -> Flags:
    """Return True (k,) where byte[begin:end] is just this text."""
    same: Flags = end - begin == len(text)
    for place, letter in enumerate(text):
        same &= byte.take(begin + place, mode="clip") == letter
    return same


def different_texts(block: bytes, begin: Positions, end: Positions) -> tuple[Positions, list[bytes]]:
    """Return (k,) which of the different texts stands in block[begin:end], and these."""
    byte = np.frombuffer(block, dtype=np.uint8)
    which = np.zeros(begin.size, dtype=np.int64)
    known: dict[bytes, int] = {}
    left = np.arange(begin.size)
    while left.size and len(known) < _ALIKE:
        text = block[begin[left[0]] : end[left[0]]]
        same = stands(byte, begin[left], end[left], text)
        which[left[same]] = known.setdefault(text, len(known))
        left = left[~same]
    for at in left.tolist():
        which[at] = known.setdefault(block[begin[at] : end[at]], len(known))
    return which, list(known)


def one_line_end(block: bytes) -> bytes:
    """Return the block with LF for CR LF and CR."""
    byte = np.frombuffer(block + b"\0", dtype=np.uint8)
    if (byte[np.flatnonzero(byte == _CR) + 1] == _LF).all():
        return block.translate(None, b"\r")
    return block.replace(b"\r\n", b"\n").replace(b"\r", b"\n")


def frame(block: bytes) -> Framed:
    """Frame a block of whole lines, each ended by LF."""
    # Empty lines are left out; a few at the end let marks be looked for behind even the shortest line.
    byte = np.frombuffer(block + b"\n\n\n\n", dtype=np.uint8)
    end = np.flatnonzero(byte == _LF)
    start = np.concatenate(([0], end[:-1] + 1)) if end.size else end
    filled = end > start
    start, end = start[filled], end[filled]
    if not end.size:
        nothing = np.zeros(0, dtype=np.bool_)
        return Framed(start, start, end, nothing, nothing, start, np.zeros(0), start, start)
    slash = np.flatnonzero(byte == _BACKSLASH)
    body = _after_tags(byte, slash, start, end)
    plain, comma, time, sender = _plain_tags(byte, slash, start, body, end)
    star = np.maximum(body - 4, 0)
    return Framed(start, body, end, _sound(byte, start, body, end), plain, comma, time, sender, star)


def _after_tags(byte: Bytes, slash: Positions, start: Positions, end: Positions) -> Positions:
    """Return where the line goes on behind its TAG blocks; its start where it has none. `slash` is where the
    backslashes stand."""
    if not slash.size:
        return start
    marks, by_line = _by_line(slash, start, end)
    if by_line:
        return np.where((marks[:, 0] == start) & (marks[:, -1] > start), marks[:, -1] + 1, start)
    last = slash[np.maximum(np.searchsorted(slash, end) - 1, 0)]
    tagged = (byte[start] == _BACKSLASH) & (last > start) & (last < end)
    return np.where(tagged, last + 1, start)


def _by_line(position: Positions, start: Positions, end: Positions) -> tuple[Positions, bool]:
    """Return positions (lines, marks) by line, and whether they are: each line [start, end) has as many. In
    most logs it has, and then nothing has to be looked up."""
    marks = position.reshape(start.size, -1) if position.size and not position.size % start.size else None
    if marks is None or not ((marks[:, 0] >= start) & (marks[:, -1] < end)).all():
        return position, False
    return marks, True


def _within(
    position: Positions, begin: Positions, stop: Positions, start: Positions, end: Positions
) -> Positions:
    """Return how many positions, rising, are in each [begin, stop), parts of the lines [start, end)."""
    if not position.size:
        return np.zeros(begin.size, dtype=np.int64)
    marks, by_line = _by_line(position, start, end)
    if by_line:
        count: Positions = ((marks >= begin[:, None]) & (marks < stop[:, None])).sum(axis=1)
    else:
        count = np.searchsorted(position, stop) - np.searchsorted(position, begin)
    return count


def _agrees(byte: Bytes, first: Positions, star: Positions) -> Flags:
    """Return True where a star stands and the two hex digits behind it are the checksum of byte[first:star],
    at least one byte."""
    high, low = _HEX_VALUE[byte[star + 1]], _HEX_VALUE[byte[star + 2]]
    folded = np.bitwise_xor.reduceat(byte, np.column_stack((first, star)).ravel())[::2]
    right: Flags = folded == (high << 4 | low)
    right &= (byte[star] == _STAR) & (high != _NO_HEX) & (low != _NO_HEX)
    return right


def _sound(byte: Bytes, start: Positions, body: Positions, end: Positions) -> Flags:
    """Return True for a start mark, at least one byte, a star, two hex digits that agree; each mark once."""
    length = end - body
    sound: Flags = (length >= 5) & (length <= LONGEST)
    first = np.minimum(body, byte.size - 1)
    sound &= (byte[first] == _DOLLAR) | (byte[first] == _BANG)
    for is_mark, often in (
        ((byte == _DOLLAR) | (byte == _BANG), 1),
        (byte == _STAR, 1),
        ((byte - np.uint8(_SPACE) > _TILDE - _SPACE) & (byte != _LF), 0),  # what is not printable
    ):
        sound &= _within(np.flatnonzero(is_mark), body, end, start, end) == often
    sound &= _agrees(byte, np.minimum(first + 1, byte.size - 4), np.maximum(end - 3, 0))
    return sound


def _plain_tags(
    byte: Bytes, slash: Positions, start: Positions, body: Positions, end: Positions
) -> tuple[Flags, Positions, Floats, Positions]:
    r"""Return where TAG blocks are just `\s:NAME,c:DIGITS*hh\`, or that with `,t:from ADDRESS` behind the
    digits, and right; their comma, their time, and where the address begins."""
    star = np.maximum(body - 4, 0)
    commas = np.append(np.flatnonzero(byte == _COMMA), (byte.size, byte.size))
    first = np.searchsorted(commas[:-2], start)
    comma, second = commas[first], commas[first + 1]
    digits_end, sender, plain = _senders(byte, second, star)
    digits = digits_end - comma - 3
    plain &= (body - start >= 11) & (digits >= _LEAST_TIME) & (digits <= _MOST_TIME)
    plain &= _within(slash, start, body, start, end) == 2
    comma = np.minimum(comma, byte.size - 3)
    at = np.minimum(start, byte.size - 3)
    plain &= (byte[at + 1] == ord("s")) & (byte[at + 2] == _COLON)
    plain &= (byte[comma + 1] == ord("c")) & (byte[comma + 2] == _COLON)
    plain &= _agrees(byte, start + 1, star)
    time = np.full(start.size, np.nan)
    rows = np.flatnonzero(plain)
    whole, numeric = _whole_numbers(byte, digits_end[rows], digits[rows])
    whole[~numeric] = np.nan
    plain[rows] = numeric
    time[rows] = np.where(whole >= MILLISECONDS_FROM, whole / 1000.0, whole)
    return plain, comma, time, sender


def _senders(byte: Bytes, second: Positions, star: Positions) -> tuple[Positions, Positions, Flags]:
    """Return where the digits of the time end, where the sender's address begins (the star where there is
    none), and whether what stands between is nothing, or a sender in so many words."""
    has_more = second < star
    digits_end = np.where(has_more, second, star)
    sender = np.where(has_more, second + len(FROM), star)
    plain = np.ones(star.size, dtype=np.bool_)
    rows = np.flatnonzero(has_more)
    at = np.minimum(second[rows], byte.size - len(FROM))
    for place, letter in enumerate(FROM):
        plain[rows] &= byte[at + place] == letter
    length = star[rows] - sender[rows]
    plain[rows] &= (length >= LEAST_ADDRESS) & (length <= MOST_ADDRESS)
    rows = np.flatnonzero(has_more & plain)
    for place in range(int((star[rows] - sender[rows]).max(initial=0))):
        at = sender[rows] + place
        plain[rows] &= _IS_ADDRESS[byte.take(at, mode="clip")] | (at >= star[rows])
    return digits_end, sender, plain


def _whole_numbers(byte: Bytes, end: Positions, digits: Positions) -> tuple[Floats, Flags]:
    """Return numbers written in so many digits up to `end`, and whether they are nothing but digits."""
    number = np.zeros(end.size, dtype=np.int64)
    numeric = np.ones(end.size, dtype=np.bool_)
    for place in range(_MOST_TIME):
        digit = byte[end - 1 - place].astype(np.int64) - ord("0")
        within = place < digits
        numeric &= ~within | ((digit >= 0) & (digit <= 9))
        number += np.where(within, digit, 0) * 10**place
    return number.astype(np.float64), numeric
