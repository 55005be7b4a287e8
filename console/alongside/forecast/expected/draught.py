"""Draughts and heel to come: the cargo plan at the pace that the gang really keeps, or the robust trend.

The plan runs by a clock of its own. How much of it is done is read off the draughts measured so far, and how
fast it goes on from the last hours: a gang that began late or works slowly is expected to end late.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.forecast.expected.draughts import (
    displacement_of,
    draughts_with_masses,
    heel_with_masses,
    masses_on_board,
)
from alongside.forecast.expected.draws import HOLDS_90, normals
from alongside.forecast.expected.trend import LEAST_PLANNED_M, NO_TREND, Trend, efficiency, theil_sen
from alongside.forecast.present import Present
from alongside.readings import Floats
from alongside.stay.model import Stay

PACE_S: Final = 4 * 3600.0
"""How far back the pace of the gang is looked for."""
TREND_S: Final = 3 * 3600.0
FARTHEST_S: Final = 6 * 3600.0
"""A trend without a plan goes on for so long, then the draught stands."""
LEAST_SPREAD: Final = 0.10
"""Of the pace: no gang keeps it more evenly (one standard deviation; common practice, no source)."""
STANDS: Final = 0.2
"""A gang at less of its pace stands, and may go on at any time."""
STANDS_SPREAD: Final = 0.4
PACES: Final = np.linspace(0.0, 2.0, 41)
GAUGE_M: Final = 0.003
"""By so much the mean of draught gauges may be off."""
UNKNOWN_SPREAD: Final = 0.15
"""The same where the last hours say nothing of the pace."""
LEAST_DRIFT: Final = 0.02 / 3600.0
"""m/s by which a trend is uncertain at least (one standard deviation)."""
AGREES_M: Final = 0.03
"""Plan and gauges that differ by less agree: draught gauges are no better."""
STILL_GOOD_S: Final = 6 * 3600.0
"""A draught last measured no longer ago serves, brought forward by the plan."""
MOST_BEHIND_S: Final = 12 * 3600.0
READINGS_S: Final = 12 * 3600.0
"""How far back readings by hand say how fast a draught moves."""
APART_S: Final = 3600.0
"""Readings nearer to each other say nothing of it."""
READ_M: Final = 0.035
"""By so much the difference of two readings may be off (one standard deviation; common practice, no
source)."""
NOBODY_KNOWS: Final = 0.2 / 3600.0
"""m/s by which a draught may move of which neither a plan nor two readings speak (one standard deviation)."""
HEEL_MOST: Final = 2.0
"""deg from the heel now beyond which no trend of it is followed."""


@dataclass(frozen=True, slots=True, eq=False)
class DraughtsAhead:
    """(members, m) draughts at the marks, m, and heel, deg; member 0 as expected; what there is to say."""

    fwd: Floats
    aft: Floats
    heel_deg: Floats
    notes: tuple[str, ...]


def draughts_ahead(
    stay: Stay, present: Present, time: Floats, members: int, rng: np.random.Generator
) -> DraughtsAhead:
    """Return draughts and heel at (m,) rising instants from now on."""
    z = normals(rng, members)
    if stay.cargo and stay.ship.hydrostatics:
        return _by_plan(stay, present, time, z)
    if (present.planned or stay.cargo_as_of > -np.inf) and not stay.cargo:
        as_now = np.zeros((members, time.size))
        why = "no cargo planned: draughts stay as they are"
        heel = as_now + present.heel_deg
        return DraughtsAhead(as_now + present.draught_fwd, as_now + present.draught_aft, heel, (why,))
    return _by_trend(stay, present, time, z)


# --- by the plan


def _by_plan(stay: Stay, present: Present, time: Floats, z: Floats) -> DraughtsAhead:
    fwd, aft, at = _last_draughts(present)
    pace, begun = _pace_of(stay, present, fwd, aft, at)
    spread = UNKNOWN_SPREAD if np.isnan(pace.slope) else (pace.high - pace.low) / (2.0 * HOLDS_90)
    middle = 1.0 if np.isnan(pace.slope) else pace.slope
    least = STANDS_SPREAD if middle < STANDS else LEAST_SPREAD
    paces = np.clip(middle + z * max(spread, least), 0.0, 2.0)
    clock = begun + paces[:, None] * (time - at)
    moved = masses_on_board(stay.cargo, clock.ravel()) - masses_on_board(stay.cargo, [begun])
    new_fwd, new_aft = draughts_with_masses(stay.ship, fwd, aft, moved, [each.x for each in stay.cargo])
    heel = present.heel_deg + _heel_by_plan(stay, fwd, aft, moved)
    shape = clock.shape
    notes = _plan_notes(pace, at - begun, bool(np.isnan(new_fwd).any()), np.isnan(fwd + aft))
    return DraughtsAhead(new_fwd.reshape(shape), new_aft.reshape(shape), heel.reshape(shape), notes)


def _last_draughts(present: Present) -> tuple[float, float, float]:
    """Return the draughts now, or those measured last, and when that was."""
    if not np.isnan(present.draught_fwd + present.draught_aft):
        return present.draught_fwd, present.draught_aft, present.time
    heard = present.heard.between(present.time - STILL_GOOD_S, present.time)
    known = np.flatnonzero(~np.isnan(heard.draught_fwd + heard.draught_aft))
    if not known.size:
        return float("nan"), float("nan"), present.time
    last = known[-1]
    return float(heard.draught_fwd[last]), float(heard.draught_aft[last]), float(heard.time[last])


def _pace_of(stay: Stay, present: Present, fwd: float, aft: float, at: float) -> tuple[Trend, float]:
    """Return how fast the plan is being worked, and which instant of the plan has been reached at `at`."""
    heard, x = present.heard, [each.x for each in stay.cargo]
    # What was measured before the watch entered how the cargo goes on says nothing of it.
    measured = 0.5 * (heard.draught_fwd + heard.draught_aft)
    known = ~np.isnan(measured) & (heard.time >= stay.cargo_as_of)
    if known.sum() < 2 or np.isnan(fwd + aft):
        return NO_TREND, at
    first = int(known.argmax())
    begun = float(heard.time[first])

    def planned(clock: Floats) -> Floats:
        """Return mean draught by the plan, from what was measured first."""
        moved = masses_on_board(stay.cargo, clock) - masses_on_board(stay.cargo, [begun])
        start = float(heard.draught_fwd[first]), float(heard.draught_aft[first])
        fwd_then, aft_then = draughts_with_masses(stay.ship, *start, moved, x)
        return 0.5 * (fwd_then + aft_then)

    reached = _reached(planned, 0.5 * (fwd + aft), at, begun)
    recent = known & (heard.time >= at - PACE_S) & (heard.time <= at)
    time, mean = heard.time[recent], measured[recent]
    if reached != at:
        for since in (
            at - PACE_S,
            at - PACE_S / 2.0,
        ):  # a gang that stopped meanwhile shows in the later half
            late = time >= since
            pace = lagging_pace(planned, time[late] - at, mean[late], reached)
            if not np.isnan(pace.slope):
                return pace, reached
    pace, by_plan = efficiency(planned(time), mean), planned(time)
    misses = np.abs(mean - (pace.intercept + pace.slope * by_plan))
    return (pace if mean.size and misses.mean() <= AGREES_M else NO_TREND), reached


def lagging_pace(planned: Callable[[Floats], Floats], lead: Floats, mean: Floats, reached: float) -> Trend:
    """Return how fast a plan is worked that has come to its instant `reached` by now: the pace at which its
    own course, run backwards from there, misses the draughts (n,) measured at `lead` (n,) s, 0 and below,
    by the least in the mean. NaN where any pace would do, since the plan moves nothing before, or none
    does."""
    if mean.size < 3:
        return NO_TREND
    clock = reached + PACES[:, None] * lead
    off = planned(clock.ravel()).reshape(clock.shape) - mean
    cost = np.abs(off - np.median(off, axis=1, keepdims=True)).mean(axis=1)
    likely = PACES[cost <= cost.min() + GAUGE_M]
    if np.ptp(cost) < LEAST_PLANNED_M / 4.0 or cost.min() > AGREES_M or np.ptp(likely) > 1.0:
        return NO_TREND
    return Trend(float(PACES[cost.argmin()]), 0.0, float(likely[0]), float(likely[-1]))


def _reached(planned: Callable[[Floats], Floats], mean: float, at: float, begun: float) -> float:
    """Return the instant of the plan whose draught is measured now: of the nearest spell that has it, the
    best one. `at` itself where plan and gauges agree, or the plan never has that draught."""
    if not abs(float(planned(np.array([at]))[0]) - mean) > AGREES_M:
        return at
    clock = np.arange(max(begun, at - MOST_BEHIND_S), at + MOST_BEHIND_S, 300.0)
    off = np.abs(planned(clock) - mean)
    near = np.flatnonzero(off <= AGREES_M)
    if not near.size:
        return at
    spells = np.split(near, np.flatnonzero(np.diff(near) > 1) + 1)
    nearest = min(spells, key=lambda spell: float(np.abs(clock[spell] - at).min()))
    best = nearest[np.argmin(off[nearest] + 1e-6 * np.abs(clock[nearest] - at))]
    return float(clock[best])


def _heel_by_plan(stay: Stay, fwd: float, aft: float, moved: Floats) -> Floats:
    """Return change of heel, deg; none where the stay file gives no metacentric height."""
    gm = stay.ship.gm or (None if stay.simulate is None else stay.simulate.gm)
    if gm is None:
        return np.zeros(len(moved))
    displacement = displacement_of(stay.ship, fwd, aft) + moved.sum(axis=1)
    return heel_with_masses(moved, [each.y for each in stay.cargo], displacement, gm)


def _plan_notes(pace: Trend, behind: float, beyond: bool, unknown: bool) -> tuple[str, ...]:
    notes = []
    if unknown:
        return ("draughts ahead not known: none measured in the last hours",)
    if not np.isnan(pace.slope):
        notes.append(f"cargo works at {pace.slope * 100.0:.0f} % of its plan")
    if abs(behind) >= 600.0:
        word = "behind" if behind > 0.0 else "ahead of"
        notes.append(f"cargo is {abs(behind) / 60.0:.0f} min {word} its plan")
    if beyond:
        notes.append("cargo plan leaves the table of hydrostatics: draughts not known from there")
    return tuple(notes)


# --- by the trend


def _by_trend(stay: Stay, present: Present, time: Floats, z: Floats) -> DraughtsAhead:
    """Return draughts without a plan, or without hydrostatics to follow it by."""
    deepest = stay.ship.hydrostatics[-1].draught if stay.ship.hydrostatics else stay.ship.depth
    lightest = stay.ship.hydrostatics[0].draught if stay.ship.hydrostatics else 0.0
    fwd_now, aft_now, at = _last_draughts(present)
    bounds = min(lightest, fwd_now, aft_now), max(deepest, fwd_now, aft_now)
    heard = present.heard.between(at - TREND_S, at)
    drifts = [_drift(heard.time - at, each) for each in (heard.draught_fwd, heard.draught_aft)]
    if present.unsure.by_hand:
        past = present.heard.between(at - READINGS_S, at)
        drifts = [_drift_by_readings(past.time, each) for each in (past.draught_fwd, past.draught_aft)]
    fwd = _along(drifts[0], fwd_now, time - at, z, bounds)
    aft = _along(drifts[1], aft_now, time - at, z, bounds)
    heel = np.full(fwd.shape, present.heel_deg)
    if present.heel_measured:
        near = present.heel_deg - HEEL_MOST, present.heel_deg + HEEL_MOST
        drift = _drift(heard.time - at, heard.heel_deg)
        heel = _along(STILL if present.unsure.by_hand else drift, present.heel_deg, time - at, z, near)
    why = "the cargo plan needs a table of hydrostatics" if stay.cargo else "no cargo plan"
    followed = "what was read" if present.unsure.by_hand else "the trend of the last hours"
    notes = [f"{why}: draughts follow {followed} for {FARTHEST_S / 3600.0:.0f} h, then stay"]
    if np.isnan(fwd + aft).any():
        notes = [f"draughts ahead not known: {why}, and too little measured for a trend"]
    return DraughtsAhead(fwd, aft, heel, tuple(notes))


Drift = tuple[float, float]
"""Rate of a value, a second, and one standard deviation of it."""
STILL: Final[Drift] = (0.0, LEAST_DRIFT)


def _drift(lead: Floats, value: Floats) -> Drift:
    """Return the robust trend of what was measured; NaN without one: to keep it as it is would be
    invented."""
    trend = theil_sen(lead, value)
    return trend.slope, max((trend.high - trend.low) / (2.0 * HOLDS_90), LEAST_DRIFT)


def _drift_by_readings(time: Floats, value: Floats) -> Drift:
    """Return how a draught moved between the last reading and the one before, an hour or more apart; that
    nobody knows, to either side, where there are no two."""
    known = np.flatnonzero(~np.isnan(value))
    before = known[time[known] <= time[known[-1]] - APART_S] if known.size else known
    if not before.size:
        return 0.0, NOBODY_KNOWS
    span = float(time[known[-1]] - time[before[-1]])
    rate = float(value[known[-1]] - value[before[-1]]) / span
    return rate, float(np.hypot(np.hypot(READ_M / span, LEAST_DRIFT), STANDS * rate))


def _along(drift: Drift, last: float, lead: Floats, z: Floats, bounds: tuple[float, float]) -> Floats:
    """Return (members, m) on from `last` at (m,) `lead` seconds, along a drift, within bounds."""
    rate, spread = drift
    within = np.clip(lead, 0.0, FARTHEST_S)
    along: Floats = np.clip(last + (rate + z[:, None] * spread) * within, *bounds)
    return along
