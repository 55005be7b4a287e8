"""The numbers that stand in one field of many sentences, read at once.

A meaning (`alongside.feeds.meanings`) takes the fields of one sentence, or those of many that differ in their
numbers alone: of a field the text that it has in all of them, or a `NumberColumn`.
"""

import re
from typing import Final

import numpy as np

from alongside.feeds.block import Bytes, Flags, Positions
from alongside.readings import Floats

MOST_WIDTH: Final = 15
"""Characters of a number that is read here. So many digits, and the power of ten behind the point, are whole
numbers that a float holds exactly: their quotient is the float next to the decimal number, which is what
`float` of its text gives."""
_NUMBER: Final = re.compile(rb"[-+]?(\d+\.?\d*|\.\d+)")
_POWERS: Final = 10.0 ** np.arange(MOST_WIDTH + 1)
_PLUS, _MINUS, _POINT, _ZERO = 43, 45, 46, 48


class NumberColumn:
    """`value` (k,) of numbers; `doubt` (k,) where the text is none, is longer than is read here, or is out of
    bounds: such a sentence is to be read by itself."""

    def __init__(self, value: Floats, doubt: Flags) -> None:
        self.value = value
        self.doubt = doubt

    @classmethod
    def of(cls, byte: Bytes, begin: Positions, end: Positions) -> "NumberColumn":
        """Return the numbers in byte[begin:end] (k,)."""
        width = end - begin
        whole = np.zeros(begin.size, dtype=np.int64)
        digits, decimals, points = (np.zeros(begin.size, dtype=np.int8) for _ in range(3))
        first = byte.take(begin, mode="clip")
        signed = (first == _PLUS) | (first == _MINUS)
        signed &= width > 0
        for place in range(min(int(width.max(initial=0)), MOST_WIDTH)):
            char = byte.take(begin + place, mode="clip")
            within = width > place
            is_digit = (char - np.uint8(_ZERO) <= 9) & within
            np.copyto(whole, 10 * whole + (char - np.uint8(_ZERO)), where=is_digit)
            digits += is_digit
            decimals += is_digit & (points > 0)
            points += (char == _POINT) & within
        doubt = (width > MOST_WIDTH) | (digits == 0) | (points > 1) | (digits + points + signed != width)
        value = whole / _POWERS[decimals]
        np.negative(value, where=first == _MINUS, out=value)
        return cls(value, doubt)

    def bound(self, least: float, most: float) -> None:
        """Put in doubt what is out of bounds."""
        self.doubt = self.doubt | (self.value < least) | (self.value > most)


def is_number(text: bytes) -> bool:
    """Return whether a text is a number that a column may hold."""
    return len(text) <= MOST_WIDTH and _NUMBER.fullmatch(text) is not None
