"""The tide at a subordinate port whose standard port is predicted from constants.

The published way of tide tables: differences are put on times and heights of high and low water of the
standard port; between them the water goes as its curve does, by shares of the range and of the time.
"""

from collections.abc import Callable
from functools import lru_cache
from math import floor
from typing import Final

import numpy as np

from alongside.readings import Floats
from alongside.stay.model import TideDifferences

DAY_S: Final = 86400.0
STEP_S: Final = 600.0
SPARE_DAYS: Final = 2
"""Either side: a water, its difference, and the water before it, of a tide that comes once a day too."""
LEAST_RANGE_M: Final = 0.02
"""A rise or fall of less is a stand, no pair of waters; so is one within `LEAST_APART_S`, which belongs to a
double high or low water. Common practice, no source."""
LEAST_APART_S: Final = 2.5 * 3600.0

Standard = Callable[[Floats], Floats]


@lru_cache(maxsize=64)
def _waters(standard: Standard, differences: TideDifferences, first: int, last: int) -> tuple[Floats, ...]:
    """Return times and heights (k,) of the waters of the standard port over whole days, and those here."""
    time = np.arange(first * DAY_S, last * DAY_S + STEP_S / 2.0, STEP_S)
    waters = extremes(time, standard(time))
    here = np.array(differences.table(tuple(map(tuple, waters.tolist())))).reshape(-1, 2)
    return waters[:, 0], waters[:, 1], np.maximum.accumulate(here[:, 0]), here[:, 1]


def height_by_differences(standard: Standard, differences: TideDifferences, time: Floats) -> Floats:
    """Return (n,) m above chart datum here; NaN where there is no tide to speak of. `standard` gives the same
    at the standard port at any instants; one that compares equal is asked once for the waters of a day."""
    if not time.size:
        return np.empty(0)
    days = np.floor(time / DAY_S)
    height = np.empty(time.size)
    for day in np.unique(days).tolist():
        rows = days == day
        waters = _waters(standard, differences, floor(day) - SPARE_DAYS, floor(day) + 1 + SPARE_DAYS)
        height[rows] = _along_the_curve(standard, waters, time[rows])
    return height


def _along_the_curve(standard: Standard, waters: tuple[Floats, ...], time: Floats) -> Floats:
    at, height, here_at, here = waters
    if at.size < 2:
        return np.full(time.size, np.nan)
    place = np.clip(np.searchsorted(here_at, time, side="right") - 1, 0, at.size - 2)
    share = (time - here_at[place]) / np.maximum(here_at[place + 1] - here_at[place], 1.0)
    there = standard(at[place] + share * (at[place + 1] - at[place]))
    risen = (there - height[place]) / (height[place + 1] - height[place])
    level: Floats = here[place] + risen * (here[place + 1] - here[place])
    return np.where((time >= here_at[0]) & (time <= here_at[-1]), level, np.nan)


def extremes(time: Floats, height: Floats) -> Floats:
    """Return (k, 2) times and heights of high and low waters in turn, of a series at even steps."""
    rises = np.diff(height) >= 0.0
    turns = 1 + np.flatnonzero(rises[1:] != rises[:-1])
    before, here, after = height[turns - 1], height[turns], height[turns + 1]
    bend, slope = before - 2.0 * here + after, (after - before) / 2.0
    off = np.divide(-slope, bend, out=np.zeros_like(bend), where=bend != 0.0)
    return _in_turn(np.column_stack([time[turns] + off * (time[1] - time[0]), here + off * slope / 2.0]))


def _in_turn(found: Floats) -> Floats:
    """Leave out pairs of waters that are no tide but a stand, or a dent in a high or low water: the smallest
    first. What remains is in turn."""
    rows = found
    while len(rows) > 2:
        ranges = np.abs(np.diff(rows[:, 1]))
        dents = (ranges < LEAST_RANGE_M) | (np.diff(rows[:, 0]) < LEAST_APART_S)
        if not dents.any():
            break
        least = int(np.where(dents, ranges, np.inf).argmin())
        rows = np.delete(rows, [least, least + 1], axis=0)
    return rows
