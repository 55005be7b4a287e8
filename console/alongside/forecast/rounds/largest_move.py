"""Starts of rounds when no single move may be larger than so many metres.

Then a length depends on the one before it, and the farthest reach alone decides nothing: each way to a start
is kept with the lengths that it leaves possible there, unless another way to that start leaves all of them.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.forecast.rounds.bands_ready import Problem
from alongside.forecast.rounds.how_long_lengths_serve import TOLERANCE, Indices
from alongside.forecast.rounds.round_starts import Clocks, Schedule
from alongside.readings import Floats

MOST_WAYS: Final = 32
"""Ways kept from one round to the next; where there are more, some are left out and nothing is proved."""


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """Starts so far, and the lengths `low`..`high` (n,) that may be made in the last of them."""

    starts: tuple[int, ...]
    low: Floats
    high: Floats


def starts_with_largest_move(
    problem: Problem, reaches: tuple[int, Indices], clocks: Clocks, largest: float
) -> tuple[Schedule, bool]:
    """Return the fewest starts that serve as far as any do with moves of at most `largest` m, latest ones
    first, and whether that is proved. `reaches`: until when the present lengths do, and those made at each
    sample (m,). Earliest and latest are the same here."""
    (present, reach), m, proved = reaches, len(problem.time), True
    ways = [_Way((), problem.present, problem.present)]
    best: tuple[int, tuple[int, ...]] = (-1, ())
    while ways and best[0] < m:
        following: dict[int, list[_Way]] = {}
        for way in ways:
            begin = way.starts[-1] if way.starts else 0
            end = int(reach[begin]) if way.starts else min(int(reach[begin]), present)
            low, high = _lengths_from(problem, way, begin, end)
            fails = begin + int(np.argmin(np.append((low <= high + TOLERANCE).all(axis=1), False)))
            if fails > best[0]:
                best = (fails, way.starts)
            done = clocks[len(way.starts)].done
            for start in _next_starts(way, clocks, fails):
                before = _before(way, start, int(done[start]) - begin, low, high)
                made = _Way((*way.starts, start), before[0] - largest, before[1] + largest)
                _keep(following.setdefault(start, []), made)
        ways = [way for start in sorted(following, reverse=True) for way in following[start]]
        if len(ways) > MOST_WAYS:
            proved = False
            ways = [ways[i] for i in np.linspace(0, len(ways) - 1, MOST_WAYS).round().astype(int)]
    serves, starts = best
    return Schedule(starts, starts, serves), proved


def _lengths_from(problem: Problem, way: _Way, begin: int, end: int) -> tuple[Floats, Floats]:
    """Return lengths of a way that serve from its last start `begin` up to each sample before `end`, (k, n)
    each."""
    low = np.maximum(np.maximum.accumulate(problem.lo[begin:end], axis=0), way.low)
    high = np.minimum(np.minimum.accumulate(problem.hi[begin:end], axis=0), way.high)
    return low, high


def _next_starts(way: _Way, clocks: Clocks, fails: int) -> list[int]:
    """Return samples at which the next round may start; sample 0 is open to the first where the
    hands are free."""
    free = clocks[len(way.starts)].free
    first = int(clocks[len(way.starts) - 1].next[way.starts[-1]]) if way.starts else 0
    last = int(np.searchsorted(clocks[len(way.starts)].done, fails, side="right")) - 1
    starts = [start for start in range(first, last + 1) if free[start]]
    return starts if way.starts or 0 in starts or not free[0] else [0, *starts]


def _before(way: _Way, start: int, served: int, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Return lengths (n,) that may be out when a round at `start` is done, `served` samples on; a round at
    sample 0 asks nothing of the present ones."""
    return (low[served - 1], high[served - 1]) if start > 0 and served > 0 else (way.low, way.high)


def _keep(ways: list[_Way], new: _Way) -> None:
    """Add a way, unless another leaves all that it leaves; drop those of which it leaves all."""
    if any((way.low <= new.low).all() and (way.high >= new.high).all() for way in ways):
        return
    ways[:] = [way for way in ways if not ((new.low <= way.low).all() and (new.high >= way.high).all())]
    ways.append(new)
