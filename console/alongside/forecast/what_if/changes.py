"""What a what-if may change, each as plain data, and the same in words that can be typed again."""

from dataclasses import dataclass
from typing import Final

from alongside.stay.model import Display
from alongside.wording.figures import bearing, figure, force_text, metres, speed


@dataclass(frozen=True, slots=True)
class PayOut:
    """Slack a line by metres of main rope; negative = heave in."""

    line: str
    metres: float


@dataclass(frozen=True, slots=True)
class SetTo:
    """Slack or heave a line until it carries a load, kN; None: what its load cell says now."""

    line: str
    tension_kn: float | None


@dataclass(frozen=True, slots=True)
class LetGo:
    """A line is let go, or parts."""

    line: str


@dataclass(frozen=True, slots=True)
class FastAnew:
    """A line that is not fast is made fast where it leads: with a load, kN, or metres of main rope out."""

    line: str
    tension_kn: float | None = None
    length_m: float | None = None


@dataclass(frozen=True, slots=True)
class Shift:
    """A line led to another bollard, over another fairlead, or both, and made fast there with a tension, kN;
    None: the one it was made fast with."""

    line: str
    bollard: str | None = None
    fairlead: str | None = None
    tension_kn: float | None = None


@dataclass(frozen=True, slots=True)
class AddLine:
    """One more line, made fast now with a tension, kN. What is None is as of the line `like`: rope with its
    tail, fairlead, bollard, tension. Without a winch it is made fast on bitts: no brake limits it."""

    line: str
    fairlead: str | None = None
    bollard: str | None = None
    rope: str | None = None
    tension_kn: float | None = None
    like: str | None = None
    winch: str | None = None


@dataclass(frozen=True, slots=True)
class AddTug:
    """A tug that pushes on towards the quay with so many kN, negative: pulls off; at a station m forward of
    the aft perpendicular, None amidships."""

    on_kn: float
    ship_x: float | None = None


@dataclass(frozen=True, slots=True)
class OtherWind:
    """Another wind, m/s (30 s mean at 10 m) and true direction it comes from, deg."""

    speed: float
    come_from: float


@dataclass(frozen=True, slots=True)
class OtherCurrent:
    """Another current, m/s and true direction it sets to, deg."""

    speed: float
    to: float


@dataclass(frozen=True, slots=True)
class OtherTide:
    """Another level of the water now, m above chart datum, or `raised` by metres from what it is. In the
    hours ahead it stands as much above what is expected."""

    level: float | None = None
    raised: float | None = None


@dataclass(frozen=True, slots=True)
class StopCargo:
    """Cargo and ballast stop now."""


Change = (
    PayOut
    | SetTo
    | LetGo
    | FastAnew
    | Shift
    | AddLine
    | AddTug
    | OtherWind
    | OtherCurrent
    | OtherTide
    | StopCargo
)
WEATHER: Final = (OtherWind, OtherCurrent, OtherTide)
"""What comes by itself: not a deed that anybody could be advised against."""


def in_words(change: Change, display: Display) -> str:
    """Return a change as it can be typed again: `slack 3 by 0.40 m`, `tug 30.0 t pushing on at 91 m`."""
    match change:
        case PayOut():
            way = "slack" if change.metres >= 0.0 else "heave"
            return f"{way} {change.line} by {metres(abs(change.metres))}"
        case SetTo():
            load = "cell" if change.tension_kn is None else force_text(change.tension_kn, display)
            return f"set {change.line} to {load}"
        case LetGo():
            return f"let go {change.line}"
        case FastAnew():
            if change.tension_kn is None:
                return f"fast {change.line} with {metres(change.length_m or 0.0)}"
            return f"fast {change.line} at {force_text(change.tension_kn, display)}"
        case Shift():
            to = f" to {change.bollard}" if change.bollard else ""
            over = f" over {change.fairlead}" if change.fairlead else ""
            load = "" if change.tension_kn is None else f" at {force_text(change.tension_kn, display)}"
            return f"shift {change.line}{to}{over}{load}"
        case AddLine():
            return _added(change, display)
        case AddTug():
            way = "pushing on" if change.on_kn >= 0.0 else "pulling off"
            at = "amidships" if change.ship_x is None else f"at {figure(change.ship_x, 1)} m"
            return f"tug {force_text(abs(change.on_kn), display)} {way} {at}"
        case OtherWind():
            return f"wind {_speed(change.speed, display, 0)} from {bearing(change.come_from)}"
        case OtherCurrent():
            return f"current {_speed(change.speed, display, 1)} to {bearing(change.to)}"
        case OtherTide():
            if change.raised is None:
                return f"tide at {metres(change.level or 0.0)}"
            return f"tide {'+' if change.raised >= 0.0 else '-'}{metres(abs(change.raised))}"
        case StopCargo():
            return "stop cargo"


def _added(change: AddLine, display: Display) -> str:
    load = None if change.tension_kn is None else force_text(change.tension_kn, display)
    parts = (
        ("like", change.like),
        ("over", change.fairlead),
        ("to", change.bollard),
        ("rope", change.rope),
        ("winch", change.winch),
        ("at", load),
    )
    return " ".join([f"add {change.line}", *(f"{word} {what}" for word, what in parts if what)])


def _speed(ms: float, display: Display, digits: int) -> str:
    return f"{figure(speed(ms, display), digits if display.speed == 'kn' else 1)} {display.speed}"
