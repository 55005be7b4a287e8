"""Remarks on plans and dates: tide, cargo, simulated logs."""

from collections.abc import Iterator
from math import inf, isnan
from typing import Final

import numpy as np

from alongside.forecast.expected.draughts import draughts_with_masses, masses_on_board
from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.model import Remark
from alongside.reports.remarks.ship import outside
from alongside.stay.model import Stay
from alongside.units import iso_time
from alongside.wording.figures import figure, metres

TIDE_APART_M: Final = 0.6
"""Weather rarely makes more at the moment of making fast."""
LARGEST_RANGE_M: Final = 16.5
"""The largest tides of the earth, from memory."""
EXTREME_S: Final = (3.0 * 3600.0, 16.0 * 3600.0)
"""From high water to low water."""
DAY_S: Final = 86400.0
FASTEST_MS: Final = 4.0
"""At a berth; the streams of a few straits are faster."""
RATE_T_H: Final = (5.0, 16_000.0)
LONGEST_S: Final = 14 * DAY_S


def plan_remarks(afloat: Afloat) -> Iterator[Remark]:
    yield from _tide(afloat)
    yield from _cargo(afloat)
    for index, row in enumerate(afloat.stay.current):
        if row.speed_ms > FASTEST_MS:
            text = f"{figure(row.speed_ms, 1)} m/s is not usual at a berth: knots, or a point missing?"
            yield Remark(f"current[{index}]", text)
    yield from _dates(afloat.stay)


def _tide(afloat: Afloat) -> Iterator[Remark]:
    plan, stay = afloat.stay.tide, afloat.stay
    if plan is None:
        return
    low, high = afloat.levels
    key = "tide.high_low" if plan.high_low else "tide"
    if high - low > LARGEST_RANGE_M:
        yield Remark(key, f"a range of {metres(high - low)}: heights in feet?")
    for index, ((t0, h0), (t1, h1)) in enumerate(zip(plan.high_low, plan.high_low[1:], strict=False)):
        if abs(h1 - h0) > 0.5 and outside(t1 - t0, EXTREME_S):
            text = (
                f"{figure((t1 - t0) / 3600.0, 1)} h from one extreme to the next: a time or a water missing?"
            )
            yield Remark(f"tide.high_low[{index + 1}]", text)
            break
    yield from _ends_early(stay)
    for index, line in enumerate(stay.lines):
        fast, path = line.made_fast, f"lines[{index}].made_fast"
        expected = afloat.expected_tide(fast.at)
        if isnan(expected):
            text = f"{iso_time(fast.at)} lies outside the tide table: day, month or year of either?"
            yield Remark(f"{path}.at", text)
        elif fast.tide is not None and abs(fast.tide - expected) > TIDE_APART_M:
            text = f"{metres(fast.tide)} where the table has {metres(expected)} at {iso_time(fast.at)}"
            yield Remark(f"{path}.tide", f"{text}: zone, datum, unit, or the wrong port?")


def _ends_early(stay: Stay) -> Iterator[Remark]:
    """A table that ends within the stay, as at the end of a year."""
    rows = stay.tide.high_low if stay.tide else ()
    end = max((each.end for each in stay.cargo), default=-inf)
    if rows and max(line.made_fast.at for line in stay.lines) <= rows[-1][0] < end:
        text = f"ends {iso_time(rows[-1][0])}, the cargo plan {iso_time(end)}: the waters up to sailing?"
        yield Remark(f"tide.high_low[{len(rows) - 1}]", text)


def _cargo(afloat: Afloat) -> Iterator[Remark]:
    stay = afloat.stay
    ship = stay.ship
    for index, each in enumerate(stay.cargo):
        path = f"cargo[{index}]"
        if outside(each.rate, RATE_T_H):
            yield Remark(f"{path}.rate", f"{figure(each.rate)} t an hour is not usual")
        if not -0.05 * ship.lbp <= each.x <= 1.05 * ship.lbp:
            text = f"x {metres(each.x)} lies beyond the hull; x is from the aft perpendicular: from midships?"
            yield Remark(f"{path}.x", text)
        if abs(each.y) > ship.breadth / 2.0:
            yield Remark(f"{path}.y", f"y {metres(each.y)} lies outside the hull")
        if each.end - each.start > LONGEST_S:
            yield Remark(
                path, f"takes {figure((each.end - each.start) / DAY_S, 1)} days: tonnes, or the rate?"
            )
    yield from _draughts_of_cargo(afloat)


def _draughts_of_cargo(afloat: Afloat) -> Iterator[Remark]:
    """Draughts that the whole plan leads to."""
    stay, (fwd, aft) = afloat.stay, afloat.draughts
    if not stay.cargo or not stay.ship.hydrostatics or isnan(fwd):
        return
    times = np.array(sorted({time for each in stay.cargo for time in (each.start, each.end)}))
    moved = masses_on_board(stay.cargo, times)
    new = draughts_with_masses(stay.ship, fwd, aft, moved, [each.x for each in stay.cargo])
    for name, values in zip(("forward", "aft"), new, strict=True):
        if np.isnan(values).any():
            at = float(times[np.flatnonzero(np.isnan(values))[0]])
            text = f"by {iso_time(at)} leads out of the hydrostatic table: sign or size of the tonnes?"
            yield Remark("cargo", text)
            return
        worst = float(values.min())
        if worst < 0.0 or values.max() > stay.ship.depth:
            shown = worst if worst < 0.0 else float(values.max())
            text = (
                f"leads to a draught {name} of {metres(shown)}: tonnes, x of the hold, or lcf from midships?"
            )
            yield Remark("cargo", text)
            return


def _dates(stay: Stay) -> Iterator[Remark]:
    """Plans that have nothing to do with the time at which she is made fast."""
    fast = sorted(line.made_fast.at for line in stay.lines)[len(stay.lines) // 2]
    if stay.cargo:
        start = min(each.start for each in stay.cargo)
        end = max(each.end for each in stay.cargo)
        if end < fast or start > fast + 30 * DAY_S:
            text = f"{iso_time(start)} to {iso_time(end)}, made fast at {iso_time(fast)}: day, month, year?"
            yield Remark("cargo[0].start", text)
    if stay.current and not (stay.current[0].at - 10 * DAY_S <= fast <= stay.current[-1].at + 10 * DAY_S):
        text = f"begins {iso_time(stay.current[0].at)}, made fast at {iso_time(fast)}: day, month, year?"
        yield Remark("current[0].at", text)
    begin = stay.simulate
    if begin is not None and abs(begin.start - fast) > 30 * DAY_S:
        text = f"{iso_time(begin.start)} beside made fast at {iso_time(fast)}: day, month, year?"
        yield Remark("simulate.start", text)
