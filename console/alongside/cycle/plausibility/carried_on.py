"""Draughts and heel of a gauge that fell silent: the last reading, carried on by the cargo plan, with a
spread that grows; and the spread of a tide by table."""

from dataclasses import replace
from typing import Final

import numpy as np

from alongside.cycle.plausibility.judge import CARRIED, Verdict
from alongside.cycle.plausibility.sigmas import BAND_90, GAUGE, LEAST_M_PER_H, NO_PLAN_M_PER_H, RATE_SHARE
from alongside.forecast.expected.witnesses import DRAUGHTS, Witnesses
from alongside.forecast.tide.residual import band_to_begin_with
from alongside.readings import Floats, Quality, Readings, Reason

FARTHEST_S: Final = 6 * 3600.0
"""A reading this old says nothing any more."""
LEAST_HEEL_PER_H: Final = 0.5
HEEL_FARTHEST_S: Final = 2 * 3600.0


def carried_on(witnesses: Witnesses, readings: Readings, verdicts: tuple[Verdict, ...]) -> Readings:
    """Return the readings with the lost draughts and heel filled in from their last believed value, and with
    the spread of all that is expected. sigma^2 = s0^2 + (0.15 rate x age)^2."""
    lost = readings.quality == Quality.LOST
    columns = [
        at
        for at, name in enumerate(readings.channels)
        if name in CARRIED and lost[:, at].any() and any(name in verdict.good for verdict in verdicts)
    ]
    tide = readings.channels.index("tide") if "tide" in readings.channels else None
    table = tide is not None and bool((readings.quality[:, tide] == Quality.EXPECTED).any())
    if not columns and not table:
        return readings
    value, quality, reason = readings.value.copy(), readings.quality.copy(), readings.reason.copy()
    spread = np.full(value.shape, np.nan)
    bounds = [verdict.row for verdict in verdicts] + [len(readings)]
    for at in columns:
        name = readings.channels[at]
        for verdict, until in zip(verdicts, bounds[1:], strict=True):
            rows = verdict.row + np.flatnonzero(lost[verdict.row : until, at])
            if rows.size and name in verdict.good:
                level, sigma = _carried(witnesses, name, readings.time[rows], *verdict.good[name])
                known = ~np.isnan(level)
                rows = rows[known]
                value[rows, at], spread[rows, at] = level[known], sigma[known]
                quality[rows, at], reason[rows, at] = Quality.EXPECTED, Reason.EXPECTED
    if table and tide is not None:
        rows = np.flatnonzero(quality[:, tide] == Quality.EXPECTED)
        spread[rows, tide] = band_to_begin_with(readings.age[rows, tide]) / BAND_90
    return replace(readings, value=value, quality=quality, reason=reason, spread=spread)


def _carried(
    witnesses: Witnesses, name: str, time: Floats, at: float, last: float, rate: float
) -> tuple[Floats, Floats]:
    """Value and sigma (n,) of one channel; NaN where its last reading is too old."""
    age = time - at
    hours = age / 3600.0
    known, planned, least = age <= FARTHEST_S, np.zeros(time.size), NO_PLAN_M_PER_H * hours
    if name == "heel":
        known, least = age <= HEEL_FARTHEST_S, LEAST_HEEL_PER_H * hours
    elif witnesses.plan_time.size:
        by_plan = witnesses.draughts(np.append(time, at))[:, DRAUGHTS.index(name)]
        planned, least = by_plan[:-1] - by_plan[-1], LEAST_M_PER_H * hours
    # Where plan and the last hour disagree, the gang works otherwise than planned: either may go on.
    off_plan = np.abs(rate * hours - planned)
    moved = np.maximum(RATE_SHARE * np.maximum(np.abs(planned), np.abs(rate) * hours), least)
    moved = np.hypot(moved, off_plan / BAND_90)
    sigma = np.hypot(GAUGE[name], moved)
    level = last + planned
    # No ship floats at less than nothing: then the plan or its hydrostatics are wrong.
    afloat = (level >= 0.0) | (name == "heel")
    return np.where(known & afloat, level, np.nan), sigma


def spread_of(readings: Readings, row: int, column: int) -> float:
    """Return one standard deviation of what a value may be off, in its channel's unit; NaN where nobody
    knows: it is doubtful or lost."""
    return float(spreads_of(readings.rows(row, row + 1))[0, column])


def spreads_of(readings: Readings) -> Floats:
    """Return the same of all values (n, c)."""
    gauges = np.array([GAUGE.get(channel, np.nan) for channel in readings.channels])
    spread = np.where(readings.quality == Quality.GOOD, gauges, np.nan)
    if readings.spread is None:
        return spread
    return np.where(readings.quality == Quality.EXPECTED, readings.spread, spread)
