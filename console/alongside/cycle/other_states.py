"""Other states that may be so beside the one shown: gauges as their witnesses have them, both ends of what is
only expected, brakes that slipped. All are judged by the same rules, and the worse counts."""

from collections.abc import Sequence, Set
from dataclasses import dataclass, replace
from typing import Final

from alongside.alerts.findings import Findings
from alongside.cycle.brakes.two_states import SlippedState
from alongside.cycle.holding_now import NOTHING_HELD, HoldingNow
from alongside.cycle.plausibility.alternative import spread_ends
from alongside.cycle.plausibility.worse import OtherFindings
from alongside.forecast.basis import Basis
from alongside.mechanics.hold import hold
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Readings

BY_LENGTHS: Final = frozenset(
    {"steep", "stretch", "load", "slack", "brake", "bollard", "tension", "off_fenders", "drift"}
)
"""Causes that are judged with other lengths too."""
BY_SITUATION: Final = BY_LENGTHS - {"tension"} | {"under_keel", "gangway"}
"""Causes that are judged in another situation too. A load cell is a gauge as well: it is not held against
loads of which another gauge is in doubt."""
BY_SOUNDING: Final = frozenset({"under_keel"})
"""Causes that are judged by a sounding."""


@dataclass(frozen=True, slots=True, eq=False)
class OtherState:
    """One more state that may be so at n instants: the situation, how the set holds her in it, the causes
    that are judged by it, and what the set can hold, where that is asked: which state's answer to that counts
    is chosen in `worse_holding`."""

    situation: Situation
    hold: Hold
    causes: Set[str]
    holding: HoldingNow = NOTHING_HELD

    def findings(self, basis: Basis, readings: Readings) -> OtherFindings:
        """Return what rules are judged by in it."""
        found = Findings.of(basis.stay, basis.arrangement, self.situation, self.hold, readings)
        return OtherFindings(found, self.causes)


@dataclass(frozen=True, slots=True, eq=False)
class OtherStates:
    """All other states of n instants: by the witnesses of doubtful gauges, None where no witness has other
    figures; as if brakes in question slipped, None where none is in question, with `slipped` how far; and the
    `rest`, which has no figures of its own to show."""

    by_witnesses: OtherState | None = None
    if_slipped: OtherState | None = None
    slipped: SlippedState | None = None
    rest: tuple[OtherState, ...] = ()

    @property
    def all(self) -> tuple[OtherState, ...]:
        """Return all of them."""
        shown = [each for each in (self.by_witnesses, self.if_slipped) if each is not None]
        return (*shown, *self.rest)

    def findings(self, basis: Basis, readings: Readings) -> tuple[OtherFindings, ...]:
        """Return what rules are judged by besides what is shown."""
        return tuple(each.findings(basis, readings) for each in self.all)


NO_OTHER_STATE: Final = OtherStates()


def other_states(
    basis: Basis,
    readings: Readings,
    situation: Situation,
    by_witnesses: Situation | None,
    states: Hold,
    slipped: SlippedState | None = None,
    by_sounding: Situation | None = None,
) -> OtherStates:
    """Return the other states of n instants: every situation that may be so, with every lengths of the lines
    that may be. `situation` and `states` are those shown, `by_witnesses` the situation as the witnesses of
    doubtful gauges have it; `by_sounding` that in which the water under her keel is as somebody read it."""
    lengths = [states] if slipped is None else [states, slipped.hold]

    def of(here: Situation, those: Hold) -> OtherState:
        held = hold(basis.arrangement, here, those.lines.unstretched_m)
        return OtherState(here, replace(held, no_length=states.no_length), BY_SITUATION)

    def each_of(situations: Sequence[Situation]) -> list[OtherState]:
        return [of(here, those) for here in situations for those in lengths]

    rest = each_of(spread_ends(readings, situation, basis.stay.ship.breadth))
    other = None
    if by_witnesses is not None:
        other, *more = each_of([by_witnesses])
        rest = more + rest
    if by_sounding is not None:
        rest = [*rest, OtherState(by_sounding, states, BY_SOUNDING)]
    if_slipped = None if slipped is None else OtherState(situation, slipped.hold, BY_LENGTHS)
    return OtherStates(other, if_slipped, slipped, tuple(rest))
