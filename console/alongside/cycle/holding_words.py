"""Holding power in a sentence: from where least is held, what gives there, and what the tide changes."""

import re
from dataclasses import dataclass
from typing import Final

from alongside.mechanics.holding import HoldingPower
from alongside.mechanics.holding_search import CAP_MS
from alongside.stay.model import Display
from alongside.wording.figures import bearing, held_speed, metres, speed
from alongside.wording.names import what_gives, without

LEAST_CHANGE: Final = 0.5
"""Of the unit shown: a change that rounding hides is not worth words."""


@dataclass(frozen=True, slots=True)
class Change:
    """What is held from the weakest direction, m/s, once something will have changed, and that in words:
    `1.6 m less tide by 14:20`."""

    holds_ms: float
    by: str


def holding_sentence(power: HoldingPower, display: Display, change: Change | None = None) -> str:
    """Return both answers: `Lines hold 53 kn (weakest from 105°: brake of line 4); 33 kn with 1.6 m less tide
    by 14:20. Off her fenders from 41 kn.` What will have changed stands there where it changes the figure;
    lines left out stand last."""
    if power.reason:
        return f"Holding power not known: {power.reason}."
    left_out = f" Without {without(power.without)}." if power.without else ""
    return (
        f"{_strength(power, display)}{_changed(power, display, change)}.{_contact(power, display)}{left_out}"
    )


def shorter(sentence: str) -> tuple[str, ...]:
    """Return a sentence of holding power for less and less room: whole, without what changes, without why,
    strength alone. The full stop at the end goes."""
    strength, stop, contact = sentence.rstrip(".").partition(". ")
    now = now_only(strength)
    bare = now.split(" (")[0]
    return tuple(
        dict.fromkeys(
            (f"{strength}{stop}{contact}", f"{now}{stop}{contact}", f"{bare}{stop}{contact}", now, bare)
        )
    )


def now_only(sentence: str) -> str:
    """Return a sentence of holding power without what will change."""
    return re.sub(r";[^.]*(?:\.\d[^.]*)*", "", sentence, count=1)


def _strength(power: HoldingPower, display: Display) -> str:
    at = power.weakest
    holds_ms, gives, where = float(power.holds_ms[at]), power.gives_first[at], power.where[at]
    holds, come_from = held_speed(holds_ms, display, CAP_MS), bearing(float(power.from_deg[at]))
    if gives is None or holds_ms >= CAP_MS:
        return f"Lines hold {holds} from every direction"
    if holds_ms <= 0.0:
        return f"Beyond a limit without any wind: {what_gives(gives, where)}"
    if gives == "drift":
        return f"Ship {metres(float(power.drift_m[at]), 1)} off place from {holds} (weakest from {come_from})"
    alone = ", then nothing keeps her" if power.holds_after(at) == 0.0 else ""
    return f"Lines hold {holds} (weakest from {come_from}: {what_gives(gives, where)}{alone})"


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
