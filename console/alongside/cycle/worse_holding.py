"""Of several states that may be so, the one that holds least: the one place where the answer is chosen that
alert, advice, rule line, page and hand-over give.

A limit that is past without any wind has an alert of its own, which says what to do. Where another state
holds her in some wind, the alert on the wind goes by that one; pages, which have room, say both.
"""

from dataclasses import replace
from typing import Final

import numpy as np

from alongside.alerts.measures import has_own_alert
from alongside.cycle.holding_now import Held, HoldingNow
from alongside.cycle.other_states import OtherStates
from alongside.mechanics.holding import NO_WEAK_SPOT, BrakesDid, WeakSpot
from alongside.stay.model import Stay

_OWN_ALERT: Final = 1e6
_NOT_KNOWN: Final = 2e6
"""Ranks behind every wind, m/s."""


def worse_holding(stay: Stay, shown: HoldingNow, others: OtherStates) -> HoldingNow:
    """Return, of n instants, the wind against what is held in the state that the alert goes by."""
    if shown.share is None:
        return shown
    of_brakes: list[tuple[HoldingNow, BrakesDid]] = [
        (other.holding, "slipped" if other is others.if_slipped else "held") for other in others.all
    ]
    states = [each for each in ((shown, "held"), *of_brakes) if each[0].share is not None]
    if len(states) == 1:
        return shown
    rank = np.stack([_ranks(stay, each) for each, _ in states])
    first = rank.argmin(axis=0)
    weak = np.stack([each.weak for each, _ in states if each.weak is not None])
    share, gust = (np.stack([getattr(each, name) for each, _ in states]) for name in ("share", "gust_share"))
    n = np.arange(first.size)
    spots = weak[first, n]
    if others.slipped is not None:
        asked = ~np.isnan(others.slipped.over.ran_out_m).all(axis=1)
        for row in np.flatnonzero(asked).tolist():
            spots[row] = replace(spots[row], if_brakes=states[first[row]][1])
    return replace(shown, share=share[first, n], gust_share=gust[first, n], weak=spots)


def spot_alerted(
    stay: Stay, held: Held | None, slipped: Held | None, by_witness: Held | None, in_question: bool
) -> WeakSpot:
    """Return the same of what was worked out last in each state: what would give first in a stronger wind."""
    states: list[tuple[Held | None, BrakesDid]] = [(held, "held"), (slipped, "slipped"), (by_witness, "held")]
    known = [(each, did) for each, did in states if each is not None]
    if not known:
        return NO_WEAK_SPOT
    first, did = min(known, key=lambda each: _rank(stay, each[0].holds_ms, each[0].weak))
    return replace(first.weak, if_brakes=did) if in_question else first.weak


def spots_shown(held: Held | None, slipped: Held | None, in_question: bool) -> tuple[WeakSpot, WeakSpot]:
    """Return what gives first from about where it blows in the state that holds less, whatever alert that
    has, and in the other one; of the other nothing where no brake is in question."""
    if held is None:
        return NO_WEAK_SPOT, NO_WEAK_SPOT
    one = replace(held.weak, holds_ms=held.holds_ms)
    if slipped is None or not in_question:
        return one, NO_WEAK_SPOT
    one = replace(one, if_brakes="held")
    other = replace(slipped.weak, holds_ms=slipped.holds_ms, if_brakes="slipped")
    return (other, one) if slipped.holds_ms < held.holds_ms else (one, other)


def _ranks(stay: Stay, holding: HoldingNow) -> np.ndarray:
    assert holding.holds_ms is not None
    assert holding.weak is not None
    rank = np.where(np.isnan(holding.holds_ms), _NOT_KNOWN, holding.holds_ms)
    for row in np.flatnonzero(rank == 0.0).tolist():
        rank[row] = _rank(stay, 0.0, holding.weak[row])
    return rank


def _rank(stay: Stay, holds_ms: float, weak: WeakSpot) -> float:
    """Return what is held, m/s, as it ranks among states: last what has an alert of its own, or is not
    known."""
    if holds_ms != holds_ms:
        return _NOT_KNOWN
    return _OWN_ALERT if holds_ms <= 0.0 and has_own_alert(stay, weak) else holds_ms
