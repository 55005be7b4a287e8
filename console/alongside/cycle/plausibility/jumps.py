"""A mean that moves faster than what it measures can: a step, a swap, a level taken up after spikes or after
a silence."""

from itertools import product
from math import isnan, nan
from typing import Final

from alongside.cycle.plausibility.bench import Bench, Row
from alongside.cycle.plausibility.model import MINUTES, Doubt
from alongside.cycle.plausibility.sigmas import (
    DEPTH_JUMP_M,
    DRAUGHT_JUMP_M,
    FASTEST_TIDE_M_PER_H,
    HEEL_JUMP_DEG,
    HEEL_PER_H,
    JUMP_M,
    NO_PLAN_M_PER_H,
    SIGMAS,
    SURGE_M_PER_H,
    TABLE_SLOPE_PER_H,
)
from alongside.cycle.plausibility.tide_fit import unit_of
from alongside.readings import Reason

SPAN_S: Final = 240.0
"""From the middle of the two samples before to that of the two after."""
TOO_LONG_S: Final = 390.0
"""Six samples that span more are no neighbours."""
FRESH_S: Final = 90.0
"""A gauge that speaks less often shows a step whenever it does; there two values before and two after
count, whenever they came."""
BACK_AFTER: Final = 3
"""A gauge that was silent is heard again with so many samples in a row: its mean is its own by then."""
SUDDEN_M: Final = 1.0
"""More than ship or sea move a mean within a minute [common practice, no source]."""
BACK: Final = 0.6
"""What jumps add up to is nothing again below this share of the limit."""
SWAPS: Final = {"draught_fwd": "draught_aft", "draught_mid_port": "draught_mid_stbd"}
BOTH_WAYS: Final = SWAPS | {other: one for one, other in SWAPS.items()}
LIMITS: Final = {
    "draught_fwd": DRAUGHT_JUMP_M,
    "draught_aft": DRAUGHT_JUMP_M,
    "draught_mid_port": DRAUGHT_JUMP_M,
    "draught_mid_stbd": DRAUGHT_JUMP_M,
    "depth": DEPTH_JUMP_M,
    "heel": HEEL_JUMP_DEG,
}
JUMPING: Final = ("tide", *LIMITS)


def look_for_jumps(bench: Bench) -> None:
    """Hold a jump against every channel that made one within the last minutes, or while it was silent."""
    for channel in JUMPING:
        at = bench.place.get(channel)
        if at is not None:
            _look_back(bench, channel, at)
    if len(bench.minutes) < MINUTES - 1:
        return
    *_, first, second, _, _, one, last = bench.minutes
    if last[0] - first[0] > TOO_LONG_S:
        return
    slow = max(first[-1], second[-1], one[-1], last[-1]) > FRESH_S
    for channel in JUMPING:
        at = bench.place.get(channel)
        if at is not None and not (slow and channel == "tide"):
            _compare(bench, channel, at, (first, second), (one, last))


def look_for_slow_jumps(bench: Bench) -> None:
    """The same for a tide gauge that speaks every few minutes, by its last four values."""
    at = bench.place["tide"]
    heard = [row for row in bench.slow if not isnan(row[at])]
    values = list({round(row[0] - row[-1]): row for row in heard}.values())
    if len(values) >= 4 and max(row[-1] for row in heard[-3:]) > FRESH_S:
        # Of two and two the nearest: one wrong value among them is no level.
        was, now = min(product(values[-4:-2], values[-2:]), key=lambda pair: _apart(bench, at, *pair))
        by_now, by_then = bench.expected[now[0]][at - 1], bench.expected[was[0]][at - 1]
        hours = (values[-1][0] - values[-1][-1] - values[-3][0] + values[-3][-1]) / 3600.0
        _weigh_against(bench, "tide", (was[at], by_then), (now[at], by_now), hours)


def _apart(bench: Bench, at: int, was: Row, now: Row) -> float:
    """By how much a level changed, the change of its witness left out."""
    by_then, by_now = bench.expected[was[0]][at - 1], bench.expected[now[0]][at - 1]
    moved = by_now - by_then
    return abs(now[at] - was[at] - (0.0 if isnan(moved) else moved))


def _compare(bench: Bench, channel: str, at: int, was: tuple[Row, Row], now: tuple[Row, Row]) -> None:
    """Weigh the mean of two samples against that of two before; where the last is far from the one in front
    of it the step lies between them, and the last says all of it."""
    if abs(now[1][at] - now[0][at]) > SUDDEN_M:
        now = now[1], now[1]
    before, after = ((one[at] + other[at]) / 2.0 for one, other in (was, now))
    by_then, by_now = (
        (bench.expected[one[0]][at - 1] + bench.expected[other[0]][at - 1]) / 2.0 for one, other in (was, now)
    )
    hours = (
        (now[1][0] - now[1][-1] - was[1][0] + was[1][-1]) / 3600.0 if channel == "tide" else SPAN_S / 3600.0
    )
    _weigh_against(bench, channel, (before, by_then), (after, by_now), hours)


def _look_back(bench: Bench, channel: str, at: int) -> None:
    """Weigh a channel that is heard again after a silence against what it said last."""
    *before, first, second, last = bench.minutes if len(bench.minutes) >= BACK_AFTER else ((),) * BACK_AFTER
    if not last or isnan(first[at] + second[at] + last[at]) or last[0] - first[0] > TOO_LONG_S / 2.0:
        return
    if channel == "tide" and max(first[-1], second[-1], last[-1]) > FRESH_S:
        return
    silent = not before or isnan(before[-1][at]) or first[0] - before[-1][0] > TOO_LONG_S / 2.0
    by_now = bench.expected[last[0]][at - 1]
    if silent and channel in bench.heard:
        heard_at, level, by_then = bench.heard[channel]
        hours = (last[0] - heard_at) / 3600.0
        _weigh_against(bench, channel, (level, by_then), (last[at], by_now), hours)
    bench.heard[channel] = last[0], last[at], by_now


def _weigh_against(
    bench: Bench, channel: str, was: tuple[float, float], now: tuple[float, float], hours: float
) -> None:
    """Weigh a level against one some hours before, (level, what its witness said) each."""
    (before, by_then), (after, by_now) = was, now
    if isnan(before) or isnan(after):
        return
    if channel in ("tide", "depth") and bench.witnesses.is_lock:
        # A chamber fills by metres in minutes, and seldom at its time.
        return
    known = not isnan(by_then + by_now)
    if known:
        before, after = before - by_then, after - by_now
    if abs(after - before) > DRAUGHT_JUMP_M or channel in bench.jumping:
        _weigh(bench, channel, before, after, _limit(bench, channel, known, hours))


def _limit(bench: Bench, channel: str, with_witness: bool, hours: float) -> float:
    """By how much a mean may have moved away from its witness, or without one, within some hours."""
    longer = max(0.0, hours - SPAN_S / 3600.0)
    if channel in ("tide", "depth"):
        fastest = TABLE_SLOPE_PER_H * bench.witnesses.range_m if with_witness else FASTEST_TIDE_M_PER_H
        moves = (fastest * hours if channel == "tide" else fastest * longer) + SURGE_M_PER_H * longer
        return SIGMAS * (JUMP_M if channel == "tide" else DEPTH_JUMP_M) + moves
    per_h = HEEL_PER_H if channel == "heel" else NO_PLAN_M_PER_H
    rate = abs(bench.good[channel][2]) if channel in bench.good else 0.0
    return SIGMAS * LIMITS[channel] + (SIGMAS * per_h + rate) * longer


def _weigh(bench: Bench, channel: str, before: float, after: float, limit: float) -> None:
    jumps = abs(after - before) > limit
    key = channel, Reason.JUMPED
    if jumps and channel not in bench.jumping:
        bench.jumping[channel] = before
    if channel not in bench.jumping:
        return
    shift = bench.shifts.get(channel, 0.0) + after - bench.jumping[channel]
    if jumps:
        if key not in bench.doubts:
            bench.doubts[key] = Doubt(channel, Reason.JUMPED, bench.now, shift, "itself")
        return
    # The jump is over: it is added up, and forgotten where the channel is back.
    del bench.jumping[channel]
    if abs(shift) < BACK * limit:
        bench.shifts.pop(channel, None)
        bench.doubts.pop(key, None)
        return
    bench.shifts[channel] = shift
    since = bench.doubts[key].since if key in bench.doubts else bench.now
    bench.doubts[key] = Doubt(channel, Reason.JUMPED, since, shift, "itself", _likely(bench, channel, shift))


def _likely(bench: Bench, channel: str, shift: float) -> str:
    value = bench.value(channel)
    was = value - shift
    other = BOTH_WAYS.get(channel)
    if other is not None:
        back = bench.shifts.get(other, 0.0)
        if not back and other in bench.jumping:
            back = bench.value(other) - _before(bench, other)
        if abs(bench.value(other) - back - value) < 0.15 and shift * back < 0.0:
            return "swapped"
    return unit_of(value / was) if was else ""


def _before(bench: Bench, channel: str) -> float:
    """The channel's value before the jump that is going on, brought forward by its witness."""
    says = bench.expected[bench.minutes[-1][0]][bench.place[channel] - 1]
    before = bench.jumping.get(channel, nan)
    return before + (0.0 if isnan(says) else says)
