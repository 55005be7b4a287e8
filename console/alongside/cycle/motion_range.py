"""How far the ship has ranged in the last 15 minutes: what the motion figures of ports and terminals are of.

They are peak to peak. Kept are the least and the most of each minute, of the minute that runs and the 14
before it, so that a block of any size gives the same. Only places that rest on good gauges count, and a
length that changes begins anew: the ship then lies elsewhere, she has not ranged.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Floats, Quality

MINUTES: Final = 15
WAYS: Final = 3
"""Surge, sway and yaw."""

Minutes = tuple[tuple[float, ...], ...]
"""(number of the minute, code of what the balance was found without, least surge m, sway m, yaw deg, most of
each), the minutes rising."""
FIGURES: Final = 2
"""Where the figures of a minute begin."""


def motion_ranges(
    before: Minutes, was: Floats, situation: Situation, hold: Hold, by_hand: Floats | None = None
) -> tuple[Floats, Minutes]:
    """Return the range of surge m, sway m and yaw deg over the last 15 min (n, 3), NaN where no place is
    known in them; and the minutes to go on from. `was` (lines,) are the lengths before the first instant,
    `by_hand` (n, lines) those since, where others than those of `hold` count.
    Places found without the wind are not compared with those found with it."""
    pose, unstretched = hold.pose, hold.lines.unstretched_m if by_hand is None else by_hand
    place = np.stack([pose.surge, pose.sway, np.degrees(pose.yaw)], axis=1)
    place[situation.quality != Quality.GOOD] = np.nan
    without = np.zeros(len(situation)) if hold.without is None else hold.without.astype(np.float64)
    minute = np.floor(situation.time / 60.0)
    anew = _changed(np.concatenate([was[np.newaxis], unstretched]))
    steps = (np.diff(minute, prepend=np.nan) != 0.0) | (np.diff(without, prepend=np.nan) != 0.0)
    begins = np.flatnonzero(steps | anew)
    ranges, kept = np.empty_like(place), list(before)
    for begin, end in zip(begins.tolist(), [*begins[1:].tolist(), len(minute)], strict=True):
        key = float(minute[begin]), float(without[begin])
        kept = [] if anew[begin] else [row for row in kept if key[0] - MINUTES < row[0] <= key[0]]
        least, most = _ends([row for row in kept if row[1] == key[1]])
        low = np.fmin(np.fmin.accumulate(place[begin:end]), least)
        high = np.fmax(np.fmax.accumulate(place[begin:end]), most)
        ranges[begin:end] = high - low
        last = _ends([row for row in kept if row[:FIGURES] == key])
        own = np.fmin(np.fmin.reduce(place[begin:end]), last[0])
        farthest = np.fmax(np.fmax.reduce(place[begin:end]), last[1])
        kept = [row for row in kept if row[:FIGURES] != key] + [(*key, *own.tolist(), *farthest.tolist())]
    return ranges, tuple(kept)


def _changed(lengths: Floats) -> NDArray[np.bool_]:
    """Return (n,) whether any of n + 1 rows of lengths differs from the row before; not known is alike."""
    differ = (lengths[1:] != lengths[:-1]) & ~(np.isnan(lengths[1:]) & np.isnan(lengths[:-1]))
    return np.asarray(differ.any(axis=1))


def _ends(minutes: list[tuple[float, ...]]) -> tuple[Floats, Floats]:
    """Return the least and the most (3,) of some minutes; NaN where there are none."""
    if not minutes:
        return np.full(WAYS, np.nan), np.full(WAYS, np.nan)
    rows = np.array(minutes)[:, FIGURES:]
    return np.fmin.reduce(rows[:, :WAYS]), np.fmax.reduce(rows[:, WAYS:])
