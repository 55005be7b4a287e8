"""Draughts against plan and each other, heel against midship draughts, gyro against berth, sounder against
chart, load cells against lines that are not made fast."""

from math import atan2, degrees, isnan
from typing import Final

from alongside.cycle.plausibility.bench import Bench
from alongside.cycle.plausibility.model import Doubt
from alongside.cycle.plausibility.sigmas import (
    ENDS_M,
    HEADING_DEG,
    HEEL_DEG,
    NO_PLAN_M_PER_H,
    PLAN_SHARE,
    REFERENCE_M,
    SIGMAS,
    SOUNDER_M,
)
from alongside.cycle.plausibility.tide_fit import unit_of
from alongside.cycle.plausibility.tide_witness import clear
from alongside.readings import Reason

ENDS: Final = ("draught_fwd", "draught_aft")
MIDSHIP: Final = ("draught_mid_port", "draught_mid_stbd")
ON_S: Final = 180.0
OFF_S: Final = 600.0
EASE: Final = 2.0 / 3.0
"""A witness that doubted agrees again below this share of its limit."""
AHEAD_S: Final = 2 * 3600.0
"""A gang may be so far ahead of its plan, or behind it by any time."""
WIDEST_M: Final = 3.0
"""Bounds wider apart than this say nothing."""
SETTLES_S: Final = 900.0
"""Later the value before a jump says nothing any more."""
LOOSE_KN: Final = 20.0
"""More than this on a line that is not made fast is not the line's load."""


def weigh_draughts(bench: Bench) -> None:
    """Every five minutes: draughts forward and aft against what the plan can have made of the reference."""
    values = [bench.value(channel) for channel in ENDS]
    if isnan(sum(values)):
        return
    reference = bench.witnesses.reference or bench.reference
    if not reference:
        if len(bench.minutes) > 3 and not any(bench.doubted(channel) for channel in ENDS):
            bench.reference = bench.now, *values
        return
    low, high = _bounds(bench, reference)
    margin = [most - least for least, most in zip(low, high, strict=True)]
    swapped = _swapped(values, low, high)
    for at, channel in enumerate(ENDS):
        value = values[at] - bench.offsets.get(channel, 0.0)
        off = value - high[at] if value > high[at] else min(0.0, value - low[at])
        middle = (low[at] + high[at]) / 2.0
        likely = "swapped" if swapped else unit_of(value / middle) if middle else ""
        outside = off != 0.0 and margin[at] < WIDEST_M
        doubt = Doubt(channel, Reason.DIFFERS, bench.now, value - middle, "plan", likely)
        bench.hold(doubt, outside, not outside, 0.0, OFF_S)


def _bounds(bench: Bench, reference: tuple[float, ...]) -> tuple[list[float], list[float]]:
    """Least and largest draughts forward and aft that the plan can have made of the reference by now."""
    at, *draughts = reference
    bounds = bench.witnesses.plan_bounds(at, bench.now + AHEAD_S)
    if bounds is None:
        spread = SIGMAS * (REFERENCE_M + NO_PLAN_M_PER_H * abs(bench.now - at) / 3600.0)
        return [value - spread for value in draughts], [value + spread for value in draughts]
    low, high = [], []
    for draught, begun, least, most in zip(draughts, *bounds, strict=True):
        spread = SIGMAS * (REFERENCE_M + PLAN_SHARE * (most - least))
        low.append(draught + least - begun - spread)
        high.append(draught + most - begun + spread)
    return low, high


def _swapped(values: list[float], low: list[float], high: list[float]) -> bool:
    """Whether both ends fit better the other way round, one of them not at all as it is."""

    def misses(fwd: float, aft: float) -> float:
        pairs = zip((fwd, aft), low, high, strict=True)
        return sum(max(least - value, 0.0, value - most) for value, least, most in pairs)

    as_it_is = misses(*values)
    return as_it_is > 0.0 and misses(values[1], values[0]) < 0.2 * as_it_is


def weigh_ends(bench: Bench) -> None:
    """Every five minutes: the mean of the midship draughts against that of the ends."""
    values = [bench.value(channel) for channel in (*ENDS, *MIDSHIP)]
    if isnan(sum(values)):
        return
    fwd, aft, port, starboard = values
    marks, middle = bench.witnesses.stay.ship.marks, bench.witnesses.stay.ship.lbp / 2.0
    expected = aft + (fwd - aft) * (middle - marks.aft) / (marks.fwd - marks.aft)
    off = (port + starboard) / 2.0 - expected - bench.offsets.get("midship", 0.0)
    fails, passes = abs(off) > SIGMAS * ENDS_M, abs(off) < EASE * SIGMAS * ENDS_M
    # The one at fault is known already where it jumped, stands still or left its plan.
    known = any(name in (*ENDS, *MIDSHIP) and why != Reason.DISAGREES for name, why in bench.doubts)
    for channel in (*ENDS, *MIDSHIP):
        doubt = Doubt(channel, Reason.DISAGREES, bench.now, off, "midship")
        bench.hold(doubt, fails and not known, passes, 0.0, OFF_S)


def weigh_heel(bench: Bench) -> None:
    """Inclinometer against midship draughts."""
    heel = bench.value("heel")
    port, starboard = (bench.value(channel) for channel in MIDSHIP)
    if isnan(heel + port + starboard):
        return
    by_draught = degrees(atan2(starboard - port, bench.witnesses.stay.ship.breadth))
    off = heel - by_draught - bench.offsets.get("heel", 0.0)
    likely = "sign" if abs(heel + by_draught) < HEEL_DEG < abs(heel) else ""
    # Near upright a wrong sign agrees with the right one.
    fails, passes = abs(off) > SIGMAS * HEEL_DEG, abs(off) < EASE * SIGMAS * HEEL_DEG < 2.0 * abs(heel)
    doubt = Doubt("heel", Reason.DISAGREES, bench.now, off, "midship", likely)
    bench.hold(doubt, fails, passes, ON_S, OFF_S)
    for channel in MIDSHIP if likely else ():
        doubt = Doubt(channel, Reason.DISAGREES, bench.now, off, "heel", likely)
        bench.hold(doubt, fails, passes, ON_S, OFF_S)
    if passes:
        for channel in MIDSHIP:
            bench.hold(Doubt(channel, Reason.DISAGREES, bench.now, off, "heel"), False, True, 0.0, OFF_S)


def weigh_heading(bench: Bench) -> None:
    """Gyro against the berth's bearing; a wind that the gyro turns goes with it."""
    heading = bench.value("heading")
    if isnan(heading):
        return
    off = heading - bench.witnesses.heading - bench.offsets.get("heading", 0.0)
    off = (off + 180.0) % 360.0 - 180.0
    likely = "turned" if abs(off) > 150.0 else ""
    fails, passes = abs(off) > SIGMAS * HEADING_DEG, abs(off) < 0.8 * SIGMAS * HEADING_DEG
    for channel in ("heading", "wind_from") if bench.witnesses.relative_wind else ("heading",):
        against = "berth" if channel == "heading" else "gyro"
        doubt = Doubt(channel, Reason.DIFFERS, bench.now, off, against, likely)
        bench.hold(doubt, fails, passes, ON_S, ON_S)


def weigh_depth(bench: Bench) -> None:
    """Sounder against charted depth, tide and draught. Of sounder, tide gauge and table the one that two
    others speak against is doubtful; a tide that jumped, and the sounder with it, is not."""
    depth, charted = bench.value("depth"), bench.witnesses.stay.berth.charted_depth
    if isnan(depth) or charted is None:
        return
    draught = 0.0
    if bench.witnesses.depth_from != "waterline":
        draught = max(bench.value(channel) for channel in ENDS)
    above = depth - charted + draught - bench.offsets.get("depth", 0.0)
    by_gauge = above - bench.value("tide")
    by_table = above - bench.table - (0.0 if isnan(bench.residual) else bench.residual)
    limit = SIGMAS * SOUNDER_M
    near_table, near_gauge = abs(by_table) < EASE * limit, abs(by_gauge) < EASE * limit
    off = by_gauge if isnan(by_table) or near_gauge else by_table
    expected = depth - off
    likely = unit_of(depth / expected) if expected > 0.0 else ""
    doubt = Doubt("depth", Reason.DIFFERS, bench.now, off, "chart", likely)
    bench.hold(doubt, abs(off) > limit and not near_table, near_table or near_gauge, ON_S, OFF_S)
    doubt = Doubt("tide", Reason.DISAGREES, bench.now, -by_gauge, "sounder")
    bench.hold(doubt, abs(by_gauge) > limit and near_table, near_gauge, ON_S, OFF_S)
    jumped = ("tide", Reason.JUMPED) in bench.doubts and "tide" not in bench.jumping
    if jumped and abs(by_gauge) < SOUNDER_M and abs(by_table) > 2.0 * SOUNDER_M:
        clear(bench, "tide")


def weigh_cells(bench: Bench) -> None:
    """A load on a line before the stay file has it made fast."""
    made_fast = {line.id: line.made_fast.at for line in bench.witnesses.stay.lines}
    for channel in bench.channels:
        if not channel.startswith("tension."):
            continue
        load = bench.value(channel)
        if isnan(load):
            continue
        loose = bench.now < made_fast.get(channel.removeprefix("tension."), bench.now)
        doubt = Doubt(channel, Reason.NO_LINE, bench.now, load, "line")
        bench.hold(doubt, loose and load > LOOSE_KN, not loose or load < LOOSE_KN * EASE, OFF_S, ON_S)


def settle_jumps(bench: Bench) -> None:
    """Every five minutes: a draught that jumped to where plan and reference want it was set right."""
    reference = bench.witnesses.reference or bench.reference
    if not reference or not any((channel, Reason.JUMPED) in bench.doubts for channel in ENDS):
        return
    low, high = _bounds(bench, reference)
    for at, channel in enumerate(ENDS):
        doubt = bench.doubts.get((channel, Reason.JUMPED))
        if doubt is None or channel in bench.jumping or bench.now - doubt.since > SETTLES_S:
            continue
        value, shift = bench.value(channel), bench.shifts.get(channel, 0.0)
        was_outside = not low[at] <= value - shift <= high[at]
        if was_outside and low[at] <= value <= high[at]:
            clear(bench, channel)
