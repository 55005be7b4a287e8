"""Which channels somebody has to read by hand, and whether their spread matters to a limit."""

from typing import Final

import numpy as np

from alongside.alerts.assess import assess
from alongside.cycle.advance import Block
from alongside.cycle.alerting import findings_of
from alongside.forecast.basis import Basis
from alongside.readings import Quality, Reason
from alongside.stay.causes import Cause

LEVELS: Final = ("draught_fwd", "draught_aft", "tide")
"""Without one of these nothing is known of the lines."""
SENSITIVE: Final[frozenset[Cause]] = frozenset({"steep", "stretch", "under_keel"})
"""Causes whose limits a reading in time may keep her from."""


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


def band_matters(basis: Basis, block: Block) -> bool:
    """Return whether at the last instant what is only expected reaches a limit of a line or of the water
    under her keel at an end of its spread, and not as it is expected."""
    ends = block.others.rest
    if not ends or block.others.slipped is not None:
        return False
    row = slice(len(block.readings) - 1, len(block.readings))
    readings = block.readings.rows(row.start, row.stop)
    rules = tuple(rule for rule in basis.rules if rule.cause in SENSITIVE)
    states = [(block.situation, block.hold), *((each.situation, each.hold) for each in ends)]
    levels = [
        assess(
            rules,
            findings_of(basis, readings, here.rows(row.start, row.stop), held.rows(row.start, row.stop)),
        ).level
        for here, held in states
    ]
    return bool((np.maximum.reduce(levels[1:]) > levels[0]).any())
