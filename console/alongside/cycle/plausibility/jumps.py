"""A mean that moves faster than what it measures can: a step, a swap, a level taken up after spikes."""

from math import isnan, nan
from typing import Final

from alongside.cycle.plausibility.bench import Bench
from alongside.cycle.plausibility.model import MINUTES, Doubt
from alongside.cycle.plausibility.sigmas import (
    DEPTH_JUMP_M,
    DRAUGHT_JUMP_M,
    FASTEST_TIDE_M_PER_H,
    HEEL_JUMP_DEG,
    JUMP_M,
    SIGMAS,
    TABLE_SLOPE_PER_H,
)
from alongside.cycle.plausibility.tide_fit import unit_of
from alongside.readings import Reason

SPAN_S: Final = 240.0
"""From the middle of the two samples before to that of the two after."""
TOO_LONG_S: Final = 390.0
"""Six samples that span more are no neighbours."""
FRESH_S: Final = 90.0
"""A gauge that speaks less often shows a step whenever it does; its level is heard by `tide_witness`."""
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
    """Hold a jump against every channel that made one within the last minutes."""
    if len(bench.minutes) < MINUTES - 1:
        return
    *_, first, second, _, _, one, last = bench.minutes
    if last[0] - first[0] > TOO_LONG_S:
        return
    slow = max(first[-1], second[-1], one[-1], last[-1]) > FRESH_S
    was = bench.expected[first[0]], bench.expected[second[0]]
    now = bench.expected[one[0]], bench.expected[last[0]]
    for channel in JUMPING:
        at = bench.place.get(channel)
        if at is None or (slow and channel == "tide"):
            continue
        before, after = (first[at] + second[at]) / 2.0, (one[at] + last[at]) / 2.0
        if isnan(before) or isnan(after):
            continue
        by_then, by_now = was[0][at - 1] + was[1][at - 1], now[0][at - 1] + now[1][at - 1]
        known = not isnan(by_then + by_now)
        if known:
            before, after = before - by_then / 2.0, after - by_now / 2.0
        if abs(after - before) > DRAUGHT_JUMP_M or channel in bench.jumping:
            _weigh(bench, channel, before, after, _limit(bench, channel, known))


def _limit(bench: Bench, channel: str, with_witness: bool) -> float:
    if channel != "tide":
        return SIGMAS * LIMITS[channel]
    hours = SPAN_S / 3600.0
    fastest = TABLE_SLOPE_PER_H * bench.witnesses.range_m if with_witness else FASTEST_TIDE_M_PER_H
    return SIGMAS * JUMP_M + fastest * hours


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
