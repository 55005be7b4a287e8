"""The tide at a subordinate port, as differences on a standard port."""

from bisect import bisect_right
from dataclasses import dataclass
from typing import Final

HALF_DAY_S: Final = 12 * 3600.0
Rows = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class TideDifferences:
    """What is added at high and at low water of the standard port. `high_s`, `low_s`: rows of (seconds of the
    half day UTC at which the water is, seconds later), rising; the difference goes straight from one row to
    the next, round the half day. `high_m`, `low_m`: rows of (height there, m more), rising; straight, and on
    beyond the ends. One row is one difference for all."""

    high_s: Rows
    low_s: Rows
    high_m: Rows
    low_m: Rows

    def of(self, at: float, height: float, is_high: bool) -> tuple[float, float]:
        """Return UNIX s and m of a water here, from those at the standard port."""
        later = _round_the_half_day(self.high_s if is_high else self.low_s, at % HALF_DAY_S)
        return at + later, height + _straight(self.high_m if is_high else self.low_m, height)

    def table(self, waters: Rows) -> Rows:
        """Return the waters here, from high and low waters in turn at the standard port; of one alone nobody
        knows which it is."""
        if len(waters) < 2:
            return ()
        here = []
        for place, (at, height) in enumerate(waters):
            other = waters[place - 1 if place else 1][1]
            here.append(self.of(at, height, height > other))
        return tuple(here)


def _round_the_half_day(rows: Rows, clock: float) -> float:
    first, last = rows[0], rows[-1]
    before = (last[0] - HALF_DAY_S, last[1])
    return _straight((before, *rows, (first[0] + HALF_DAY_S, first[1])), clock)


def _straight(rows: Rows, x: float) -> float:
    if len(rows) == 1:
        return rows[0][1]
    place = min(max(bisect_right([row[0] for row in rows], x), 1), len(rows) - 1)
    (x0, y0), (x1, y1) = rows[place - 1], rows[place]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
