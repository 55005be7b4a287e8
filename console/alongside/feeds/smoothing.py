"""Means over a trailing window, on the line and on the circle, and the highest gust."""

import numpy as np
from numpy.typing import NDArray

from alongside.readings import Floats

Whole = NDArray[np.int64]

GUST_MEAN_S = 3.0
HIGHEST_OF_S = 600.0
"""What is the highest of a gauge is so over this time."""
CLOCK_GRAIN = 1e-3
"""Times are held to a millisecond; a window includes what lies on its edge."""


def window_start(time: Floats, end: Floats, length: float) -> Whole:
    """Return the index of the first of `time` (rising) that lies at or after `end` - `length`."""
    first: Whole = np.searchsorted(time, end - length - CLOCK_GRAIN)
    return first


def mean_between(value: Floats, first: Whole, last: Whole) -> Floats:
    """Return means of value[first..last], both included, by running sums about the first value, so that
    nothing is lost to rounding however long the row."""
    base = value[0]
    total = np.concatenate(([0.0], np.cumsum(value - base)))
    mean: Floats = base + (total[last + 1] - total[first]) / (last + 1 - first)
    return mean


def direction_between(direction: Floats, first: Whole, last: Whole) -> Floats:
    """Return mean directions, deg in [0, 360), as the direction of the sum of unit vectors."""
    angle = np.radians(direction)
    north, east = mean_between(np.cos(angle), first, last), mean_between(np.sin(angle), first, last)
    mean: Floats = np.degrees(np.arctan2(east, north)) % 360.0
    return np.where(mean >= 360.0, 0.0, mean)


def highest_between(value: Floats, first: Whole, last: Whole) -> Floats:
    """Return maxima of value[first..last], both included, from maxima of runs of 1, 2, 4, … values: any
    window is covered by two overlapping runs."""
    length = last + 1 - first
    power = np.frexp(length.astype(np.float64))[1] - 1
    highest = np.empty(first.size)
    runs = value
    for step in range(int(power.max(initial=0)) + 1):
        here = power == step
        run = 1 << step
        highest[here] = np.maximum(runs[first[here]], runs[last[here] + 1 - run])
        runs = np.maximum(runs[: max(runs.size - run, 0)], runs[run:])
    return highest


def gust_between(time: Floats, speed: Floats, last: Whole) -> Floats:
    """Return the highest 3 s mean of the 10 min up to each value `last` (WMO's gust; the newest value counts
    as its own mean where the gauge is slower)."""
    every = np.arange(time.size)
    just_within = np.searchsorted(time, time - GUST_MEAN_S + CLOCK_GRAIN)
    means = mean_between(speed, np.minimum(just_within, every), every)
    return highest_between(means, window_start(time, time[last], HIGHEST_OF_S), last)


def peak_between(time: Floats, value: Floats, last: Whole) -> Floats:
    """Return the highest value of the 10 min up to each value `last`: a mean hides the pull of a ship that
    passes."""
    return highest_between(value, window_start(time, time[last], HIGHEST_OF_S), last)
