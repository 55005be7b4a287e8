"""Which channels somebody has to read by hand, and whether their spread matters to a limit."""

from typing import Final

import numpy as np

from alongside.alerts.assess import assess
from alongside.alerts.model import Key
from alongside.cycle.alerting import findings_of
from alongside.cycle.block import Block
from alongside.cycle.other_states import BY_SITUATION
from alongside.forecast.basis import Basis
from alongside.readings import Quality, Reason

LEVELS: Final = ("draught_fwd", "draught_aft", "tide")
"""Without one of these nothing is known of the lines."""


def unmeasured(basis: Basis, block: Block) -> tuple[str, ...]:
    """Return the channels that at the last instant of a block rest on readings by hand: those that no feed
    gives; of the others those that go by hand since their gauge is not good; heel where it was read."""
    fitted = {source.channel for feed in basis.stay.feeds for source in feed.channels}
    shown, heard = block.readings, block.readings.by_gauges

    def is_by_hand(channel: str) -> bool:
        at = shown.channels.index(channel)
        by_hand = bool(shown.reason[-1, at] == Reason.BY_HAND)
        return by_hand and bool(heard.quality[-1, at] != Quality.GOOD)

    levels = [name for name in LEVELS if name not in fitted or is_by_hand(name)]
    return tuple(levels + [name for name in ("heel",) if is_by_hand(name)])


def only_at_an_end(basis: Basis, block: Block) -> frozenset[Key]:
    """Return the conditions, by cause and subject, that reach a worse stage at an end of the spread of what
    is only expected, at the last instant of a block, than as it is expected."""
    ends = [each for each in block.others.rest if each.causes == BY_SITUATION]
    if not ends or block.others.slipped is not None:
        return frozenset()
    last = len(block.readings) - 1
    readings = block.readings.rows(last, last + 1)
    rules = tuple(rule for rule in basis.rules if rule.cause in BY_SITUATION)
    states = [(block.situation, block.hold), *((each.situation, each.hold) for each in ends)]
    levels = [
        assess(
            rules, findings_of(basis, readings, here.rows(last, last + 1), held.rows(last, last + 1))
        ).level
        for here, held in states
    ]
    worse = np.maximum.reduce(levels[1:])[0] > levels[0][0]
    return frozenset(rule.key for rule, each in zip(rules, worse.tolist(), strict=True) if each)
