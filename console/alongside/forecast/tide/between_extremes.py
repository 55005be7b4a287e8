"""Height of tide from the times and heights of high and low waters that a port's tide tables give,
and the level of docks and locks.

Between two extremes the tide is taken to follow half a cosine. That is a fallback: it serves well where the
tide is regular and deep, and can be more than a metre wrong in shallow ports with a stand or a double tide.
"""

import numpy as np
from numpy.typing import ArrayLike

from alongside.readings import Floats
from alongside.stay.model import TidePlan


def height_between_extremes(time: ArrayLike, times: ArrayLike, heights: ArrayLike) -> Floats:
    """Return height at `time` (any shape, UNIX s), by half a cosine between the two extremes on either side.

    `times` (k,) rising, UNIX s; `heights` (k,) m, returned unchanged at the extremes themselves. NaN before
    the first and after the last extreme, and everywhere when there are fewer than two: one end of the curve
    alone says nothing. The cosine is the usual practice of tide tables without a port's own curve.
    """
    t = np.asarray(time, dtype=np.float64)
    at = np.asarray(times, dtype=np.float64)
    height = np.asarray(heights, dtype=np.float64)
    if at.size < 2:
        return np.full(t.shape, np.nan)
    before = np.clip(np.searchsorted(at, t, side="right") - 1, 0, at.size - 2)
    share = (t - at[before]) / (at[before + 1] - at[before])
    rise = height[before + 1] - height[before]
    level: Floats = height[before] + rise * (1.0 - np.cos(np.pi * share)) / 2.0
    return np.where((t >= at[0]) & (t <= at[-1]), level, np.nan)


def planned_height(plan: TidePlan, time: ArrayLike) -> Floats:
    """Return height above chart datum, m, at `time` (any shape, UNIX s) by the plan's high and low waters.

    NaN outside the table. In a dock or lock the level then, which stands before its first step and after its
    last.
    """
    if plan.levels:
        at, level = np.array(plan.knots()).T
        return np.asarray(np.interp(np.asarray(time, dtype=np.float64), at, level), dtype=np.float64)
    times = [at for at, _ in plan.high_low]
    heights = [height for _, height in plan.high_low]
    return height_between_extremes(time, times, heights) + plan.to_chart_datum
