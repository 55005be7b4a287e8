"""The wind against what is held, in each state of the lines that may be so, and in the one holding least."""

from dataclasses import dataclass, replace

from alongside.cycle.guard import Guard
from alongside.cycle.holding_now import Held, HoldingNow, holding_now
from alongside.cycle.other_states import OtherState, OtherStates
from alongside.cycle.worse_holding import worse_holding
from alongside.forecast.basis import Basis
from alongside.readings import Readings


@dataclass(frozen=True, slots=True)
class HeldBefore:
    """What was worked out to be held last, in each state; None where that state is new."""

    shown: Held | None = None
    by_witness: Held | None = None
    if_slipped: Held | None = None

    def or_shown(self, held: Held | None) -> Held | None:
        """Return what a state goes on from: a new one goes on from the state shown."""
        return held or self.shown


@dataclass(frozen=True, slots=True)
class HoldingByState:
    """Holding of the state shown, the other states with theirs, and the one that the alert goes by."""

    shown: HoldingNow
    others: OtherStates
    worse: HoldingNow

    def last(self, in_question: bool) -> HeldBefore:
        """Return what the next block goes on from; `in_question`: whether a brake is."""
        slipped = self.others.if_slipped if in_question else None
        return HeldBefore(self.shown.last, _last_of(self.others.by_witnesses), _last_of(slipped))


def holding_by_state(
    basis: Basis, before: HeldBefore, judged: Readings, shown: OtherState, others: OtherStates, guard: Guard
) -> HoldingByState:
    """Return the wind against what is held of n instants; `shown` and `others` come without it."""
    holding = _holding(basis, before.shown, shown, guard)
    others = replace(
        others,
        by_witnesses=_with_holding(basis, before.or_shown(before.by_witness), others.by_witnesses, guard),
        if_slipped=_with_holding(basis, before.or_shown(before.if_slipped), others.if_slipped, guard),
    )
    shown = replace(shown, holding=holding)
    worse = guard.run("holding", lambda: worse_holding(basis, judged, shown, others), lambda: holding)
    return HoldingByState(holding, others, worse)


def _holding(basis: Basis, before: Held | None, state: OtherState, guard: Guard) -> HoldingNow:
    """Return the wind against what is held, where a rule asks and the lines are known."""
    if not basis.watches_holding or "lines" in guard.failed:
        return HoldingNow()
    return guard.run(
        "holding",
        lambda: holding_now(basis.arrangement, basis.criteria, state.situation, state.hold, before),
        HoldingNow,
    )


def _with_holding(
    basis: Basis, before: Held | None, other: OtherState | None, guard: Guard
) -> OtherState | None:
    return None if other is None else replace(other, holding=_holding(basis, before, other, guard))


def _last_of(other: OtherState | None) -> Held | None:
    return None if other is None else other.holding.last
