"""What a block of cycles found, and what it took into account beside readings and actions."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from alongside.alerts.model import Event
from alongside.alerts.rule_model import Assessment, DueBys, NextLimits
from alongside.cycle.other_states import NO_OTHER_STATE, OtherStates
from alongside.cycle.plausibility.model import Doubt
from alongside.forecast.decided import Decisions
from alongside.mechanics.holding import NO_WEAK_SPOT, WeakSpot
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Floats, Readings


@dataclass(frozen=True, slots=True)
class Block:
    """What n cycles found; `events` in the order in which they happened."""

    readings: Readings
    situation: Situation
    hold: Hold
    assessment: Assessment
    events: tuple[Event, ...]
    fault: str = ""
    """Trace of the fault that kept the mechanics from an answer; "" where there was none."""
    unrecorded: str = ""
    """What is not being put on record, in words; "" where all is, or nothing is to be."""
    next_limits: NextLimits = None
    due: DueBys = None
    decisions: Decisions | None = None
    """What the hours ahead call for; None where nobody asked, or nothing is known of them."""
    doubts: tuple[Doubt, ...] = ()
    """What stands against which channel at the last instant."""
    others: OtherStates = NO_OTHER_STATE
    """What may be so as well."""
    filling: str = ""
    """Which feed fills the disk faster than foreseen, in words."""
    call_fault: str = ""
    """Why the second caller failed when it was called last."""
    bridge_fault: str = ""
    """Why alerts do not go to the bridge."""

    ranges: Floats | None = None
    """(n, 3) range of surge m, sway m and yaw deg over the last 15 min; None where nobody kept it."""
    weak: WeakSpot = NO_WEAK_SPOT
    """What would give first at the last instant in a stronger wind from where it blows, in the state that the
    alert goes by."""

    def with_event(self, event: Event) -> "Block":
        """Return the same block with one more event."""
        return replace(self, events=in_order((*self.events, event)))


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What a cycle takes into account beside readings and actions."""

    unrecorded: str = ""
    """What could not be put on record before it, in words."""
    next_limits: NextLimits = None
    """What the latest forecast expects."""
    decisions: Decisions | None = None
    """What the hours ahead call for."""
    clock_ahead_s: float = 0.0
    """By how much the times of the watch run ahead of the clock, which was set back."""
    closed: tuple[str, ...] = ()
    """Feeds whose port is not open."""
    filling: str = ""
    """Which feed fills the disk faster than foreseen, in words."""
    call_fault: str = ""
    """Why the second caller failed when it was called last, in words."""
    bridge_fault: str = ""
    """Why alerts do not go to the bridge, in words; "" where they do, or are not to."""


NONE_KNOWN: Final = Circumstances()


def in_order(events: Sequence[Event]) -> tuple[Event, ...]:
    """Return events by time; those of one instant keep the order in which they came."""
    return tuple(sorted(events, key=lambda event: event.time))
