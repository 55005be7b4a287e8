"""Tension of every line along its path, fast: for the many looks that finding a balance takes.

`series.pull` is exact and dear. With the lengths of rope constant, each line's tension is a smooth function
of its path between the loads at which one of its curves has a knot. There it is tabulated from `pull` finely
enough (`STEPS` to a cell) that the cubic through values and slopes misses it by less than 1e-8 of the load.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.bights import least_of_both, shared
from alongside.mechanics.cells import Cells
from alongside.mechanics.series import pull
from alongside.readings import Floats

STEPS: Final = 32
FIRST_STEPS: Final = 96
FAR_SLACK: Final = 1e9
"""m by which a line that is not made fast is too long to pull."""
FIRST_STRETCH: Final = 1e-9
"""m at which the slope of a line that just comes taut is taken."""
KNEE_M: Final = 1e-9
"""m before and after the beginning of a cell between which the slope may turn: beyond the last row of a curve
it may be another."""


class Tensions(Protocol):
    """Tension kN and stiffness kN/m of all lines, (lines, n), at paths (lines, n) in m."""

    def __call__(self, path: Floats) -> tuple[Floats, Floats]: ...

    def rows(self, rows: NDArray[np.intp]) -> "Tensions":
        """Return the same for some of the instants only."""
        ...


def tensions_of(arrangement: Arrangement, unstretched: Floats, cap_kn: Floats | None = None) -> Tensions:
    """Return the tensions of the lines with `unstretched` main rope, m, (lines,) or (n, lines), NaN where a
    line is not made fast: it then pulls nothing. `cap_kn` (lines,): the load at which a line renders, NaN
    where it does not."""
    length = np.where(unstretched > 0.0, unstretched, FAR_SLACK)
    if arrangement.partners is not None:
        length = shared(arrangement.partners, length.T).T
        cap_kn = None if cap_kn is None else least_of_both(arrangement.partners, cap_kn)
    exact = ExactTensions(arrangement, np.atleast_2d(length).T, cap_kn)
    if length.ndim > 1 and length.shape[0] != 1:
        return _on_automatic(arrangement, length, exact)
    cap = None if cap_kn is None else cap_kn.tobytes()
    return _on_automatic(arrangement, length, _table(arrangement, np.atleast_2d(length)[0].tobytes(), cap))


def tensions_of_sets(arrangement: Arrangement, unstretched: Floats) -> Tensions:
    """Return the tensions of s sets of lines, one a row: (s, lines) m, NaN for lines that are not in a set.
    Where a line has one length in all sets that it is in, all are from one table."""
    length = np.fmax.reduce(unstretched, axis=0)
    if not ((unstretched == length) | np.isnan(unstretched)).all():
        return tensions_of(arrangement, unstretched)
    tensions = tensions_of(arrangement, length)
    fast = ~np.isnan(unstretched)
    return tensions if (fast == fast[0]).all() else ChosenTensions(tensions, fast.T)


@dataclass(frozen=True, slots=True, eq=False)
class ChosenTensions:
    """Tensions of lines of which only those that are `fast` (lines, n) pull."""

    all_lines: Tensions
    fast: NDArray[np.bool_]

    def __call__(self, path: Floats) -> tuple[Floats, Floats]:
        tension, stiffness = self.all_lines(path)
        return np.where(self.fast, tension, 0.0), np.where(self.fast, stiffness, 0.0)

    def rows(self, rows: NDArray[np.intp]) -> "ChosenTensions":
        return ChosenTensions(self.all_lines.rows(rows), self.fast[:, rows])


def _on_automatic(arrangement: Arrangement, length: Floats, tensions: Tensions) -> Tensions:
    """Return the tensions with those of automatic winches kept between recovery and rendering load, of lines
    that are made fast."""
    if arrangement.automatic is None:
        return tensions
    fast = np.atleast_2d(length).T < FAR_SLACK / 4.0
    low, high = (np.where(fast, each[:, None], np.nan) for each in arrangement.automatic)
    return AutomaticTensions(tensions, low, high)


@dataclass(frozen=True, slots=True, eq=False)
class AutomaticTensions:
    """Tensions of lines of which some are on automatic winches; `low` and `high` kN, (lines, 1) or
    (lines, n), NaN for others."""

    by_length: Tensions
    low: Floats
    high: Floats

    def __call__(self, path: Floats) -> tuple[Floats, Floats]:
        tension, stiffness = self.by_length(path)
        between = np.fmax(np.fmin(tension, self.high), self.low)
        return np.where(np.isnan(tension), tension, between), np.where(between == tension, stiffness, 0.0)

    def rows(self, rows: NDArray[np.intp]) -> "AutomaticTensions":
        each = self.low.shape[1] > 1
        low, high = (self.low[:, rows], self.high[:, rows]) if each else (self.low, self.high)
        return AutomaticTensions(self.by_length.rows(rows), low, high)


@lru_cache(maxsize=16)
def _table(arrangement: Arrangement, length: bytes, cap_kn: bytes | None) -> "TensionTable":
    """Return the table for these lengths: while a brake renders, the same few are asked for again and
    again."""
    cap = None if cap_kn is None else np.frombuffer(cap_kn)
    unstretched = np.frombuffer(length)
    return TensionTable(arrangement, unstretched, ExactTensions(arrangement, unstretched[:, None], cap))


def capped(tension: Floats, stiffness: Floats, cap_kn: Floats | None) -> tuple[Floats, Floats]:
    """Return tension and stiffness with those of a rendering line: it keeps its load, whatever its path."""
    if cap_kn is None:
        return tension, stiffness
    renders = tension > cap_kn[:, None]
    return np.where(renders, cap_kn[:, None], tension), np.where(renders, 0.0, stiffness)


@dataclass(frozen=True, slots=True, eq=False)
class ExactTensions:
    """Straight from the ropes; `unstretched` (lines, 1) or (lines, n)."""

    arrangement: Arrangement
    unstretched: Floats
    cap_kn: Floats | None = None

    def __call__(self, path: Floats) -> tuple[Floats, Floats]:
        loaded = pull(self.arrangement.series, shared(self.arrangement.partners, path), self.unstretched)
        return capped(loaded.tension, loaded.stiffness, self.cap_kn)

    def rows(self, rows: NDArray[np.intp]) -> "ExactTensions":
        if self.unstretched.shape[1] == 1:
            return self
        return ExactTensions(self.arrangement, self.unstretched[:, rows], self.cap_kn)


class TensionTable:
    """From tables, for lengths that do not change."""

    def __init__(self, arrangement: Arrangement, unstretched: Floats, exact: ExactTensions) -> None:
        self._slack_path = (unstretched + arrangement.tail_length)[:, None]
        self._cap_kn, self._partners = exact.cap_kn, arrangement.partners
        stretches = _nodes(arrangement, unstretched)
        self._nodes = [np.append(-2.0 * FAR_SLACK, line) for line in stretches]
        most = max((line.size for line in stretches), default=1)
        padded = np.empty((len(stretches), most))
        for row, line in zip(padded, stretches, strict=True):
            row[: line.size], row[line.size :] = line, line[-1]
        loaded = pull(
            arrangement.series,
            self._slack_path + np.maximum(padded, FIRST_STRETCH),
            unstretched[:, None],
        )
        self._first = (np.arange(len(stretches)) * (most + 1))[:, None]
        self._begin, self._coefficients = _cubics(padded, loaded.tension, loaded.stiffness)

    def __call__(self, path: Floats) -> tuple[Floats, Floats]:
        stretch = shared(self._partners, path) - self._slack_path
        at = np.empty(stretch.shape, dtype=np.intp)
        for line, nodes in enumerate(self._nodes):
            at[line] = nodes.searchsorted(stretch[line], side="right")
        at += self._first - 1
        u = stretch - self._begin.take(at)
        c0, c1, c2, c3 = (each.take(at) for each in self._coefficients)
        tension = c0 + u * (c1 + u * (c2 + u * c3))
        stiffness = c1 + u * (2.0 * c2 + u * (3.0 * c3))
        return capped(tension, stiffness, self._cap_kn)

    def rows(self, rows: NDArray[np.intp]) -> "TensionTable":
        return self


def _nodes(arrangement: Arrangement, unstretched: Floats) -> list[Floats]:
    """Return the stretches of each line, m, from 0 up, at which it is tabulated."""
    series = arrangement.series
    stretches: list[Floats] = [np.empty(0)] * len(unstretched)
    for lines, cells in ((series.plain, series.plain_cells), (series.tailed, series.tailed_cells)):
        for column, line in enumerate(lines):
            stretches[line] = _divided(_begins(cells, column, float(unstretched[line])))
    return stretches


def _begins(cells: Cells, column: int, unstretched: float) -> Floats:
    begins = unstretched * cells.main_strain[:, column] + cells.tail_stretch[:, column]
    return begins[np.isfinite(begins)]


def _divided(begins: Floats) -> Floats:
    """Return the nodes of one line: each cell in `STEPS` steps that leave out a hair at its ends, the first
    in more that crowd where the line comes taut and its curve bends most; beyond the last beginning the line
    is straight."""
    if begins.size == 1:
        return begins
    width = np.diff(begins)
    ends = begins[1:] - np.minimum(KNEE_M, width / (2 * STEPS))
    first = begins[1] * (np.arange(FIRST_STEPS) / FIRST_STEPS) ** 2
    starts = begins[1:] + np.minimum(KNEE_M, np.append(width[1:], np.inf) / (4 * STEPS))
    rest = starts[:-1, None] + (ends[1:] - starts[:-1])[:, None] * (np.arange(STEPS + 1) / STEPS)
    return np.concatenate((first, ends[:1], rest.ravel(), starts[-1:]))


def _cubics(stretch: Floats, tension: Floats, stiffness: Floats) -> tuple[Floats, tuple[Floats, ...]]:
    """Return the beginnings of the cells (lines, nodes + 1), flat, and their coefficients; the first of each
    line is the slack one."""
    nodes = stretch.shape[1]
    tension = np.where(stretch > 0.0, tension, 0.0)
    width = np.diff(stretch)
    real = width > 0.0
    width = np.where(real, width, 1.0)
    secant = np.diff(tension) / width
    second = np.where(real, (3.0 * secant - 2.0 * stiffness[:, :-1] - stiffness[:, 1:]) / width, 0.0)
    third = np.where(real, (stiffness[:, :-1] + stiffness[:, 1:] - 2.0 * secant) / width**2, 0.0)
    return _after_slack(stretch, nodes), tuple(
        _after_slack(each, nodes) for each in (tension, stiffness, second, third)
    )


def _after_slack(values: Floats, nodes: int) -> Floats:
    """Return the values of cells (lines, nodes), or one fewer, behind a slack cell of zeros; flat."""
    lines, cells = values.shape
    begun = np.zeros((lines, nodes + 1))
    begun[:, 1 : cells + 1] = values
    return begun.ravel()
