"""The water under her keel as somebody has sounded it, against what is computed."""

from dataclasses import replace

import numpy as np

from alongside.cycle.plausibility.by_hand import UNDER_KEEL, HandReadings, carried_by_hand
from alongside.forecast.expected.witnesses import Witnesses
from alongside.mechanics.keel import under_keel_m
from alongside.mechanics.situation import Situation


def situation_by_sounding(
    witnesses: Witnesses, by_hand: HandReadings, situation: Situation
) -> Situation | None:
    """Return n instants with the tide so much lower as the water under her keel was read less than computed,
    for an hour after; None where it was not read, or nowhere less. What was read more counts for nothing: a
    berth is not even."""
    depth = witnesses.stay.berth.charted_depth
    if depth is None or not any(each.channel == UNDER_KEEL for each in by_hand):
        return None
    read = carried_by_hand(witnesses, by_hand, UNDER_KEEL, situation.time).level
    afloat = situation.tide, situation.draught_fwd, situation.draught_aft, np.nan_to_num(situation.heel_deg)
    less = np.fmin(read - under_keel_m(witnesses.stay.ship, depth, *afloat), 0.0)
    if not np.any(less < 0.0):
        return None
    return replace(situation, tide=situation.tide + np.nan_to_num(less))
