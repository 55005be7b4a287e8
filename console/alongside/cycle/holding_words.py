"""Holding power in a sentence: from where she holds least, what gives there, and what would make it worse."""

from typing import Final, Literal

from alongside.mechanics.holding import HoldingPower, WeakSpot
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.usage import Gives
from alongside.units import knots

SpeedUnit = Literal["kn", "m/s"]

WHAT_GIVES: Final[dict[Gives, str]] = {
    "wll": "line {} at its working limit",
    "brake": "the brake of line {} renders",
    "bollard": "bollard {} at its working load",
    "drift": "she drifts beyond her limit",
    "off_fenders": "she comes off her fenders",
}
LEAST_CHANGE: Final = 0.5
"""Of the unit shown: a change that rounding hides is not worth words."""


def holding_sentence(
    now: HoldingPower, later: HoldingPower | None = None, change: str = "", unit: SpeedUnit = "kn"
) -> str:
    """The weak spot, such as "Holds 38 kn from 200°, then line 4 at its working limit; two more metres of
    tide take that to 33 kn." `later` is the holding power after a `change` named in words as the subject of a
    plural verb; it is told where it changes what she holds from that same direction."""
    if now.reason:
        return f"Holding power not known: {now.reason}."
    at = now.weakest
    speed, what = float(now.holds_ms[at]), _what(now, at)
    if speed >= CAP_MS:
        return f"Holds {_shown(CAP_MS, unit)} {unit} and more from every direction."
    if speed <= 0.0:
        return f"Does not hold even in a calm: {what}."
    text = f"Holds {_shown(speed, unit)} {unit} from {now.from_deg[at]:03.0f}°, then {what}"
    if later is not None and not later.reason:
        then = float(later.holds_ms[at])
        if abs(_scaled(then - speed, unit)) >= LEAST_CHANGE and _shown(then, unit) != _shown(speed, unit):
            shown = f"{_shown(then, unit)} {unit}" if then > 0.0 else "nothing"
            text += f"; {change} take that to {shown}"
    return text + "."


def gives_words(weak: WeakSpot) -> str:
    """What gives first, "" where nothing does."""
    return WHAT_GIVES[weak.gives].format(weak.where) if weak.gives else ""


def _what(holding: HoldingPower, at: int) -> str:
    return gives_words(WeakSpot(holding.gives_first[at], holding.where[at])) or "nothing gives"


def _scaled(speed_ms: float, unit: SpeedUnit) -> float:
    return knots(speed_ms) if unit == "kn" else speed_ms


def _shown(speed_ms: float, unit: SpeedUnit) -> str:
    """Whole units, rounded down: what is told, holds. A hair below a whole one counts as that one."""
    return f"{int(_scaled(speed_ms, unit) + 0.02)}"
