"""Gauges against what was read by hand of the same channel."""

from collections.abc import Iterator
from math import hypot, isnan, nan
from typing import Final

import numpy as np

from alongside.cycle.plausibility.bench import Bench
from alongside.cycle.plausibility.by_hand import HandReadings, carried_by_hand
from alongside.cycle.plausibility.model import Doubt
from alongside.cycle.plausibility.sigmas import GAUGE, SIGMAS
from alongside.forecast.expected.witnesses import DRAUGHTS, Witnesses
from alongside.readings import Floats, Reason

COMPARED: Final = ("tide", *DRAUGHTS, "heel")
"""Channels of which a reading by hand may doubt the gauge; wind changes within minutes."""
EASE: Final = 2.0 / 3.0
OFF_S: Final = 600.0


def by_hand_at(
    witnesses: Witnesses, by_hand: HandReadings, time: Floats
) -> Iterator[dict[str, tuple[float, float, float]]]:
    """Yield for each of n instants (value, one sigma, one sigma when read) of every channel that was read by
    hand; NaN where no reading serves. A gang that stopped, or works twice as fast as planned, is no reason to
    doubt a draught gauge: what the plan moved a draught by since is in the first sigma."""
    columns = []
    for channel in COMPARED:
        of = [each for each in by_hand if each.channel == channel]
        if of:
            carried = carried_by_hand(witnesses, by_hand, channel, time)
            last = [next((each for each in reversed(of) if each.at <= at), None) for at in time.tolist()]
            read = [nan if each is None else each.sigma for each in last]
            sigma = carried.sigma
            if channel in DRAUGHTS:
                value = np.array([nan if each is None else each.value for each in last])
                sigma = np.hypot(sigma, (carried.level - value) / SIGMAS)
            columns.append((channel, carried.level.tolist(), sigma.tolist(), read))
    for row in range(time.size):
        yield {channel: (level[row], sigma[row], read[row]) for channel, level, sigma, read in columns}


def weigh_by_hand(bench: Bench) -> None:
    """Hear what was read by hand against the gauge of the same channel, each minute. A spread that grows with
    the age of a reading ends no doubt: a gauge that comes back to it does, or another reading."""
    for channel, reason in [key for key in bench.doubts if key[1] is Reason.APART]:
        if isnan(bench.by_hand.get(channel, (nan,))[0]):
            del bench.doubts[channel, reason]
    for channel, (level, sigma, when_read) in bench.by_hand.items():
        value = bench.value(channel)
        if isnan(level) or isnan(value):
            continue
        off = value - level
        apart = abs(off) > SIGMAS * hypot(GAUGE[channel], sigma)
        agrees = abs(off) < EASE * SIGMAS * hypot(GAUGE[channel], when_read)
        bench.hold(Doubt(channel, Reason.APART, bench.now, off, "hand"), apart, agrees, 0.0, OFF_S)
