"""Of several states that may be so, the one that holds least: the one place where the answer is chosen that
alert, advice, rule line, page and hand-over give.

A limit that is past without any wind may stand in an alert of its own, which says what to do. Where another
state holds her in some wind, the alert on the wind goes by that one; pages, which have room, say both.
"""

from dataclasses import replace
from typing import Final

import numpy as np

from alongside.alerts.own_alert import stands_in_own_alert
from alongside.cycle.holding_now import Held, HoldingNow
from alongside.cycle.other_states import OtherState, OtherStates
from alongside.forecast.basis import Basis
from alongside.mechanics.holding import NO_WEAK_SPOT, BrakesDid, WeakSpot
from alongside.readings import Floats, Readings

_OWN_ALERT: Final = 1e6
_NOT_KNOWN: Final = 2e6
"""Ranks behind every wind, m/s."""


def worse_holding(basis: Basis, readings: Readings, shown: OtherState, others: OtherStates) -> HoldingNow:
    """Return, of n instants, the wind against what is held in the state that the alert goes by: minus
    infinite where in each of them a limit is past without any wind, and stands in an alert of its own."""
    if shown.holding.share is None:
        return shown.holding
    states = [each for each in (shown, *others.all) if each.holding.share is not None]
    did: list[BrakesDid] = ["slipped" if each is others.if_slipped else "held" for each in states]
    rank = np.stack([_ranks(basis, readings, each) for each in states])
    first, n = rank.argmin(axis=0), np.arange(rank.shape[1])
    own = rank[first, n] == _OWN_ALERT

    def of_first(name: str) -> Floats:
        share: Floats = np.stack([getattr(each.holding, name) for each in states])[first, n]
        return np.where(own & np.isinf(share), -np.inf, share)

    spots = np.stack([each.holding.weak for each in states if each.holding.weak is not None])[first, n]
    if others.slipped is not None:
        asked = ~np.isnan(others.slipped.over.ran_out_m).all(axis=1)
        for row in np.flatnonzero(asked).tolist():
            spots[row] = replace(spots[row], if_brakes=did[first[row]])
    return replace(shown.holding, share=of_first("share"), gust_share=of_first("gust_share"), weak=spots)


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


def _ranks(basis: Basis, readings: Readings, state: OtherState) -> Floats:
    """Return what is held in a state (n,), m/s, as it ranks among states: last what stands in an alert of its
    own, or is not known."""
    holding = state.holding
    assert holding.holds_ms is not None
    assert holding.weak is not None
    rank = np.where(np.isnan(holding.holds_ms), _NOT_KNOWN, holding.holds_ms)
    past = np.flatnonzero(rank == 0.0)
    if not past.size:
        return rank
    found = state.findings(basis, readings).findings
    for weak in set(holding.weak[past].tolist()):
        same = past[holding.weak[past] == weak]
        rank[same[stands_in_own_alert(basis.rules, found, weak)[same]]] = _OWN_ALERT
    return rank
