"""Height of the tide at one time by a table of high and low waters, without the arrays of the forecast."""

from itertools import pairwise
from math import cos, nan, pi

from alongside.stay.model import TidePlan


def level_by_table(plan: TidePlan, time: float) -> float:
    """Return m above chart datum at `time`, UNIX s, by half a cosine between high and low water; NaN outside
    the table, and where the plan has constituents instead."""
    for (before, low), (after, high) in pairwise(plan.high_low):
        if before <= time <= after:
            share = (time - before) / (after - before)
            return low + (high - low) * (1.0 - cos(pi * share)) / 2.0 + plan.to_chart_datum
    return nan
