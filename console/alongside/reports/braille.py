"""A raster of braille dots: polylines become cells of a terminal, 2 dots wide and 4 high each.

One raster serves charts, the plan view and the polar, on the screen and in print. Each cell has one ink, a
number that whoever shows it turns into a colour; what is drawn later wins it. NaN in a polyline is a gap and
stays one: nothing is ever drawn across what is not known.
"""

from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from alongside.readings import Floats

DOTS_ACROSS = 2
DOTS_DOWN = 4

_BITS = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]], dtype=np.uint8)
"""Bit of each dot of a cell, by row and column within it (Unicode block Braille Patterns)."""
_BLANK = 0x2800
_MOST_DOTS = 200_000
"""Dots taken of one polyline; beyond that a drawing could only be noise."""


class Raster:
    """`columns` x `rows` cells; dots count from the upper left corner, x right and y down."""

    def __init__(self, columns: int, rows: int) -> None:
        self.columns, self.rows = max(columns, 0), max(rows, 0)
        self.bits = np.zeros((self.rows, self.columns), dtype=np.uint8)
        self.ink = np.full((self.rows, self.columns), -1, dtype=np.int16)
        """Ink of each cell, -1 where nothing is drawn."""
        self.letters: dict[tuple[int, int], tuple[str, int]] = {}

    @property
    def width(self) -> int:
        """Dots across."""
        return self.columns * DOTS_ACROSS

    @property
    def height(self) -> int:
        """Dots down."""
        return self.rows * DOTS_DOWN

    def polyline(self, x: ArrayLike, y: ArrayLike, ink: int, every: int = 1) -> None:
        """Draw through points (n,) in dots; `every` 3 draws each third dot only. A point between two gaps
        is drawn as a dot; what lies outside the raster is left out."""
        dots_x, dots_y = _along(np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64))
        self._set(dots_x[::every], dots_y[::every], ink)

    def dots(self, x: ArrayLike, y: ArrayLike, ink: int) -> None:
        """Single dots at points (n,)."""
        self._set(np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64), ink)

    def write(self, column: int, row: int, text: str, ink: int) -> None:
        """Narrow characters over the dots, cell by cell; nothing where a part would fall outside."""
        if 0 <= row < self.rows and column >= 0 and column + len(text) <= self.columns:
            self.letters.update({(row, column + i): (letter, ink) for i, letter in enumerate(text)})

    def _set(self, x: Floats, y: Floats, ink: int) -> None:
        inside = (x > -0.5) & (x < self.width - 0.5) & (y > -0.5) & (y < self.height - 0.5)
        column, row = np.rint(x[inside]).astype(np.intp), np.rint(y[inside]).astype(np.intp)
        cell = (row // DOTS_DOWN, column // DOTS_ACROSS)
        np.bitwise_or.at(self.bits, cell, _BITS[row % DOTS_DOWN, column % DOTS_ACROSS])
        self.ink[cell] = ink

    def runs(self) -> list[list[tuple[str, int]]]:
        """The rows as (text, ink), neighbours of one ink joined; ink -1 is the background."""
        codes = self.bits.astype(np.uint32) + _BLANK
        codes[self.bits == 0] = ord(" ")
        ink = np.where(self.bits == 0, -1, self.ink)
        for (row, column), (letter, colour) in self.letters.items():
            codes[row, column], ink[row, column] = ord(letter), colour
        return [_joined(codes[row], ink[row]) for row in range(self.rows)]


def _along(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Every dot of the segments between points (n,), single points included; segments with a NaN end are
    left out."""
    known = np.isfinite(x) & np.isfinite(y)
    both = known[1:] & known[:-1]
    x0, y0, x1, y1 = x[:-1][both], y[:-1][both], x[1:][both], y[1:][both]
    steps = np.ceil(np.maximum(np.abs(x1 - x0), np.abs(y1 - y0))).astype(np.intp)
    steps = np.minimum(steps, _MOST_DOTS // max(steps.size, 1))
    starts = np.cumsum(steps) - steps
    segment = np.repeat(np.arange(steps.size), steps)
    part = (np.arange(segment.size) - starts[segment]) / np.maximum(steps[segment], 1)
    along_x = x0[segment] + part * (x1 - x0)[segment]
    along_y = y0[segment] + part * (y1 - y0)[segment]
    return np.concatenate([along_x, x[known]]), np.concatenate([along_y, y[known]])


def _joined(codes: NDArray[np.uint32], ink: NDArray[np.int16]) -> list[tuple[str, int]]:
    text = codes.astype("<u4").tobytes().decode("utf-32-le")
    edges = [0, *(np.flatnonzero(np.diff(ink)) + 1).tolist(), len(text)]
    return [(text[start:stop], int(ink[start])) for start, stop in pairwise(edges) if stop > start]
