"""Bands made ready for planning: the margin taken off, unknown samples cut off, empty bands set apart."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.rounds.how_long_lengths_serve import TOLERANCE, Indices
from alongside.forecast.rounds.plan import CannotCure
from alongside.readings import Floats


@dataclass(frozen=True, slots=True)
class Barrier:
    """Lengths made by `since`, UNIX s (-inf: the present ones), do not serve beyond `until`, whatever their
    bands say: something else than a line leaves its limits."""

    since: float
    until: float


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """Bands without unknowns: as given; `true_…`, with empty ones opened wide, which `empty` tells of; and
    `lo`, `hi`, with the margin taken off too."""

    time: Floats
    lo: Floats
    hi: Floats
    true_lo: Floats
    true_hi: Floats
    given_lo: Floats
    given_hi: Floats
    present: Floats
    empty: tuple[CannotCure, ...]
    barriers: tuple[Barrier, ...] = ()


def problem_of(
    time: Floats,
    lo: Floats,
    hi: Floats,
    present: Floats,
    margin: float,
    barriers: Sequence[Barrier] = (),
) -> Problem:
    """Return bands (m, n) made ready; nothing after the first sample with a band that is not known (NaN)."""
    unknown = np.isnan(lo + hi).any(axis=1)
    known = int(np.argmax(unknown)) if unknown.any() else len(time)
    time, lo, hi = time[:known], lo[:known], hi[:known]
    empty = lo > hi + TOLERANCE
    true_lo, true_hi = np.where(empty, -np.inf, lo), np.where(empty, np.inf, hi)
    taken = np.where(empty, 0.0, np.minimum(margin, np.maximum(hi - lo, 0.0) / 2.0))
    return Problem(
        time=time,
        lo=true_lo + taken,
        hi=true_hi - taken,
        true_lo=true_lo,
        true_hi=true_hi,
        given_lo=lo,
        given_hi=hi,
        present=present,
        empty=_empty_bands(time, lo - hi, empty),
        barriers=tuple(barriers),
    )


def opened(problem: Problem, line: int, begin: float, until: float) -> Problem:
    """Return the problem with the band of one line opened wide from `begin` to `until`, UNIX s."""
    spell = (problem.time >= begin) & (problem.time <= until)

    def wide(band: Floats, end: float) -> Floats:
        band = band.copy()
        band[spell, line] = end
        return band

    return replace(
        problem,
        lo=wide(problem.lo, -np.inf),
        hi=wide(problem.hi, np.inf),
        true_lo=wide(problem.true_lo, -np.inf),
        true_hi=wide(problem.true_hi, np.inf),
    )


def _empty_bands(time: Floats, overlap: Floats, empty: NDArray[np.bool_]) -> tuple[CannotCure, ...]:
    """Return one entry for each unbroken spell in which a line has no band, by time."""
    found = []
    for line in range(empty.shape[1]):
        edges = np.flatnonzero(np.diff(np.concatenate(([False], empty[:, line], [False]))))
        for begin, end in zip(edges[::2], edges[1::2], strict=True):
            worst = float(overlap[begin:end, line].max())
            found.append(CannotCure(line, float(time[begin]), float(time[end - 1]), worst, "empty"))
    return tuple(sorted(found, key=lambda each: (each.time, each.line)))


def bounded(problem: Problem, present: int, reach: Indices) -> tuple[int, Indices]:
    """Return until when the present lengths serve, and those made at each sample, no farther than the
    barriers let them."""
    reach = reach.copy()
    for barrier in problem.barriers:
        until = int(np.searchsorted(problem.time, barrier.until))
        present = min(present, until)
        made = int(np.searchsorted(problem.time, barrier.since, side="right"))
        reach[:made] = np.minimum(reach[:made], until)
    return present, reach
