"""Holding power in a sentence: from where least is held, what gives there, and what the tide changes."""

import re
from dataclasses import dataclass
from typing import Final

from alongside.alerts.over_brake import if_brakes
from alongside.mechanics.holding import BrakesDid, HoldingPower
from alongside.mechanics.holding_search import CAP_MS
from alongside.stay.model import Display
from alongside.wording.figures import bearing, held_speed, speed
from alongside.wording.names import what_gives, what_holds, without

LEAST_CHANGE: Final = 0.5
"""Of the unit shown: a change that rounding hides is not worth words."""


@dataclass(frozen=True, slots=True)
class Change:
    """What is held from the weakest direction, m/s, once something will have changed, and that in words:
    `1.6 m less tide by 14:20`."""

    holds_ms: float
    by: str


@dataclass(frozen=True, slots=True, eq=False)
class HeldOrSlipped:
    """Holding power in both states of brakes in question: of which lines, if they held, if they slipped."""

    asked: tuple[str, ...]
    held: HoldingPower
    slipped: HoldingPower

    @property
    def weakest(self) -> BrakesDid:
        """Return the state that holds less from its weakest direction; *held* where both hold as much."""
        least, other = (float(each.holds_ms[each.weakest]) for each in (self.held, self.slipped))
        return "slipped" if other < least else "held"

    @property
    def other_ms(self) -> float:
        """Return what the other state holds from its own weakest direction, m/s."""
        return float(self._other.holds_ms[self._other.weakest])

    @property
    def other_words(self) -> str:
        """Return what stands before the wind of the other state where it stands alone: `lines hold`."""
        at = self._other.weakest
        return what_holds(self._other.gives_first[at], float(self._other.drift_m[at]))

    @property
    def _other(self) -> HoldingPower:
        return self.held if self.weakest == "slipped" else self.slipped

    @property
    def which(self) -> str:
        """Return ` if brake 4 held`, of the state that holds less."""
        return if_brakes(self.asked, self.weakest)

    def other(self, display: Display) -> str:
        """Return `, 54 kn if it slipped`, of the state that holds more."""
        did = "held" if self.weakest == "slipped" else "slipped"
        holds = "none" if self.other_ms <= 0.0 else held_speed(self.other_ms, display, CAP_MS)
        return f", {holds}{if_brakes(self.asked, did, again=True)}"


def holding_sentence(
    power: HoldingPower,
    display: Display,
    change: Change | None = None,
    both: HeldOrSlipped | None = None,
) -> str:
    """Return both answers: `Lines hold 53 kn (weakest from 105°: brake of line 4); 33 kn with 1.6 m less tide
    by 14:20. Off her fenders from 41 kn.` What will have changed stands there where it changes the figure;
    lines left out stand last. While brakes are in question `power` is the smaller of `both`, and what the
    other state holds stands beside it: `Lines hold 33 kn if brake 4 held, 54 kn if it slipped (weakest …`"""
    if power.reason:
        return f"Holding power not known: {power.reason}."
    left_out = f" Without {without(power.without)}." if power.without else ""
    strength = f"{_strength(power, display, both)}{_changed(power, display, change)}"
    return f"{strength}.{_contact(power, display)}{left_out}"


def shorter(sentence: str) -> tuple[str, ...]:
    """Return a sentence of holding power for less and less room: whole, without what changes, without what
    gives, strength alone with what gives, with its direction, bare, and that in the worse state alone where
    brakes are in question. The full stop at the end goes."""
    strength, stop, contact = sentence.rstrip(".").partition(". ")
    now = now_only(strength)
    bare = now.split(" (")[0]
    weakest = re.search(r" \(weakest from [^:)]+", now)
    along = f"{bare}{weakest.group()})" if weakest else bare
    one = re.sub(r", [^,]* if (it|they) (held|slipped)$", "", bare)
    forms = (*(f"{each}{stop}{contact}" for each in (strength, now, along)), now, along, bare, one)
    return tuple(dict.fromkeys(forms))


def now_only(sentence: str) -> str:
    """Return a sentence of holding power without what will change."""
    return re.sub(r";[^.]*(?:\.\d[^.]*)*", "", sentence, count=1)


def _strength(power: HoldingPower, display: Display, both: HeldOrSlipped | None) -> str:
    at = power.weakest
    holds_ms, gives, where = float(power.holds_ms[at]), power.gives_first[at], power.where[at]
    holds, come_from = held_speed(holds_ms, display, CAP_MS), bearing(float(power.from_deg[at]))
    which, other = ("", "") if both is None else (both.which, both.other(display))
    if gives is None or holds_ms >= CAP_MS:
        return f"Lines hold {holds} from every direction"
    if holds_ms <= 0.0:
        first = what_gives(gives, where)
        if both is None or both.other_ms <= 0.0:
            return f"Beyond a limit without any wind: {first}"
        other = f"{both.other_words} {other.removeprefix(', ')}"
        return f"Beyond a limit without any wind{which}, {other} ({first})"
    if gives == "drift":
        off = what_holds(gives, float(power.drift_m[at]))
        return f"{off[:1].upper()}{off[1:]} {holds}{which}{other} (weakest from {come_from})"
    alone = f", {_all_at_once(power, at)}" if power.holds_after(at) == 0.0 else ""
    return f"Lines hold {holds}{which}{other} (weakest from {come_from}: {what_gives(gives, where)}{alone})"


def _all_at_once(power: HoldingPower, at: int) -> str:
    """Return what comes of her where nothing holds more once the first thing has given: she leaves her place
    where lines still hold some wind when the limit of reach ends it, else nothing keeps her."""
    last = power.then[at][-1] if power.then[at] else None
    is_reach = last is not None and last.gives == "drift" and last.holds_ms > 0.0
    return "then off place at once" if is_reach else "then nothing keeps her"


def _changed(power: HoldingPower, display: Display, change: Change | None) -> str:
    at = power.weakest
    holds_ms = float(power.holds_ms[at])
    if change is None or power.gives_first[at] is None or holds_ms <= 0.0:
        return ""
    if abs(speed(change.holds_ms - holds_ms, display)) < LEAST_CHANGE:
        return ""
    holds, then = (held_speed(ms, display, CAP_MS) for ms in (holds_ms, change.holds_ms))
    return f"; {then} with {change.by}" if then != holds else ""


def _contact(power: HoldingPower, display: Display) -> str:
    """Return ` Off her fenders from 41 kn.`; "" where no wind of the search takes her off."""
    ms = float(power.contact_ms[power.first_off])
    if ms >= CAP_MS:
        return ""
    return (
        f" Off her fenders from {held_speed(ms, display)}."
        if ms > 0.0
        else " Off her fenders without any wind."
    )
