"""When rounds on deck may be: the fewest, by farthest reach, each with its earliest and latest start.

A round that starts at sample t lasts for a time, each its own; until it is done the old lengths must serve,
from its start on the new ones: whichever line is tended first or last, none leaves its band. Rounds keep a
minimum gap from start to start. Sets of starts are kept whole, round by round, so the fewest is the fewest
there is: with no gap and no duration it is the farthest reach alone, which stays ahead of any other plan.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.rounds.how_long_lengths_serve import Indices
from alongside.readings import Floats

Starts = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Clock:
    """What start follows which: `done` (m,) first sample after a round started at each sample is done;
    `next` (m,) first sample at which another may start; `free` (m,) whether one may start at all."""

    done: Indices
    next: Indices
    free: Starts


def clock_of(
    time: Floats, duration_s: float, gap_s: float, busy: Sequence[tuple[float, float]] = ()
) -> Clock:
    """Return the clock of rounds that last `duration_s`, at least `gap_s` from start to start, and that keep
    clear of `busy`: spells, UNIX s, of other rounds that the same hands do."""
    free: Starts = np.ones(time.size, dtype=np.bool_)
    for begin, until in busy:
        clear = (time + duration_s <= begin + 1e-6) | (time >= until - 1e-6)
        free &= clear & (np.abs(time - begin) >= gap_s - 1e-6)
    done = np.searchsorted(time, time + duration_s - 1e-6)
    after = np.searchsorted(time, time + max(gap_s, duration_s) - 1e-6)
    return Clock(done, np.maximum(after, np.arange(time.size) + 1), free)


@dataclass(frozen=True, slots=True, eq=False)
class Clocks:
    """The clock of each round in turn; those beyond the last follow the last."""

    of_round: tuple[Clock, ...]

    def __getitem__(self, j: int) -> Clock:
        return self.of_round[min(j, len(self.of_round) - 1)]


@dataclass(frozen=True, slots=True, eq=False)
class Schedule:
    """`earliest` and `latest` start of each round, samples. All latest starts go together, so do all
    earliest. `serves` is the first sample that the plan does not serve: m, or where no round can follow."""

    earliest: tuple[int, ...]
    latest: tuple[int, ...]
    serves: int

    @property
    def rounds(self) -> int:
        return len(self.latest)


def schedule(reach: Indices, present: int, clocks: Clocks) -> Schedule:
    """Return the fewest rounds that serve as far as any rounds can.

    `reach` (m,) as of `reach_of`; `present`: the first sample that the present lengths fail. A round at
    sample 0 is always possible where the hands are free: what is out of band by the time it is done is so
    whatever is done.
    """
    m = reach.size
    if present >= m:
        return Schedule((), (), m)
    forward = [_first_starts(present, clocks[0])]
    if not forward[0].any():
        return Schedule((), (), present)
    best = _farthest(reach, forward[0])
    while best < m:
        last = _last_next(reach, clocks[len(forward)])
        following = _after(last, forward[-1], clocks[len(forward) - 1]) & clocks[len(forward)].free
        if not following.any():
            break
        forward.append(following)
        best = max(best, _farthest(reach, following))
    if best <= present:
        return Schedule((), (), present)
    count = next(j for j, starts in enumerate(forward, 1) if _farthest(reach, starts) >= best)
    return _windows(reach, forward[:count], clocks, best)


def _first_starts(present: int, clock: Clock) -> Starts:
    starts: Starts = (clock.done <= present) & clock.free
    starts[0] = clock.free[0]
    return starts


def _farthest(reach: Indices, starts: Starts) -> int:
    return int(reach[starts].max())


def _last_next(reach: Indices, following: Clock) -> Indices:
    """Return (m,) the last start of the next round that lengths made at each sample still serve through."""
    return np.minimum(np.searchsorted(following.done, reach, side="right") - 1, reach.size - 1)


def _after(last_next: Indices, starts: Starts, clock: Clock) -> Starts:
    """Return where the following round may start, from any of these starts of a round that keeps `clock`."""
    m = last_next.size
    first, last = clock.next[starts], last_next[starts]
    possible = last >= first
    edges = np.zeros(m + 1, dtype=np.intp)
    np.add.at(edges, first[possible], 1)
    np.add.at(edges, last[possible] + 1, -1)
    following: Starts = np.cumsum(edges)[:m] > 0
    return following


def _windows(reach: Indices, forward: list[Starts], clocks: Clocks, best: int) -> Schedule:
    """Return which starts of each round still lead to a plan that serves up to `best`, from the end
    backwards."""
    useful = reach >= best
    earliest, latest = [], []
    for j in reversed(range(len(forward))):
        usable = forward[j] & useful
        both = np.flatnonzero(usable)
        earliest.append(int(both[0]))
        latest.append(int(both[-1]))
        if j:
            below = np.concatenate(([0], np.cumsum(usable)))
            first, last = np.minimum(clocks[j - 1].next, reach.size), _last_next(reach, clocks[j])
            useful = (last >= first) & (below[np.maximum(last, first - 1) + 1] - below[first] > 0)
    return Schedule(tuple(reversed(earliest)), tuple(reversed(latest)), best)
