"""Holding power in a sentence: from where least is held, what gives there, and what the tide changes."""

from dataclasses import dataclass
from typing import Final

from alongside.mechanics.holding import HoldingPower
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.usage import Gives
from alongside.stay.model import Display
from alongside.wording.figures import bearing, held_speed, speed
from alongside.wording.names import what_gives, without

LEAST_CHANGE: Final = 0.5
"""Of the unit shown: a change that rounding hides is not worth words."""
OF_THE_SHIP: Final[dict[Gives, str]] = {
    "drift": "Ship drifts beyond her limit",
    "off_fenders": "Ship leaves her fenders",
}
"""What gives although all lines hold."""


@dataclass(frozen=True, slots=True)
class Change:
    """What is held from the weakest direction, m/s, once something will have changed, and that in words:
    `1.6 m less tide by 14:20`."""

    holds_ms: float
    by: str


def holding_sentence(power: HoldingPower, display: Display, change: Change | None = None) -> str:
    """Return the weak spot: `Lines hold 38 kn from 200° (brake of line 4); 33 kn with 1.6 m less tide by
    14:20.` What will have changed stands there where it changes the figure; lines left out stand last."""
    left_out = f" Without {without(power.without)}." if power.without and not power.reason else ""
    return _weak_spot(power, display, change) + left_out


def _weak_spot(power: HoldingPower, display: Display, change: Change | None) -> str:
    if power.reason:
        return f"Holding power not known: {power.reason}."
    at = power.weakest
    holds_ms, gives = float(power.holds_ms[at]), power.gives_first[at]
    holds = held_speed(holds_ms, display, CAP_MS)
    if gives is None or holds_ms >= CAP_MS:
        return f"Lines hold {holds} from every direction."
    if holds_ms <= 0.0:
        return f"Beyond a limit without any wind: {what_gives(gives, power.where[at])}."
    come_from = bearing(float(power.from_deg[at]))
    if gives in OF_THE_SHIP:
        text = f"{OF_THE_SHIP[gives]} above {holds} from {come_from}"
    else:
        text = f"Lines hold {holds} from {come_from} ({what_gives(gives, power.where[at])})"
    if change is not None and abs(speed(change.holds_ms - holds_ms, display)) >= LEAST_CHANGE:
        then = held_speed(change.holds_ms, display, CAP_MS)
        text += f"; {then} with {change.by}" if then != holds else ""
    return text + "."
