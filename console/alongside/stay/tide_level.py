"""Height of the water at one time by a table of high and low waters or the level of a dock or lock, without
the arrays of the forecast."""

from itertools import pairwise
from math import cos, nan, pi

from alongside.stay.model import TidePlan


def level_by_table(plan: TidePlan, time: float) -> float:
    """Return m above chart datum at `time`, UNIX s, by half a cosine between high and low water; NaN outside
    the table, and where the plan has constituents instead. In a dock or lock the level then."""
    if plan.levels:
        return _between_knots(plan.knots(), time)
    for (before, low), (after, high) in pairwise(plan.high_low):
        if before <= time <= after:
            share = (time - before) / (after - before)
            return low + (high - low) * (1.0 - cos(pi * share)) / 2.0 + plan.to_chart_datum
    return nan


def _between_knots(knots: list[tuple[float, float]], time: float) -> float:
    if time <= knots[0][0]:
        return knots[0][1]
    for (before, low), (after, high) in pairwise(knots):
        if time < after:
            return low + (high - low) * (time - before) / (after - before)
    return knots[-1][1]
