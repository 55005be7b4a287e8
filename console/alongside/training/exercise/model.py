"""An exercise, as read from its file. Plain numbers; times are UNIX seconds, lengths m, forces kN."""

from dataclasses import dataclass
from typing import Literal

from alongside.stay.model import GaugeFault, Stay


@dataclass(frozen=True, slots=True)
class Gust:
    """The wind comes up to `speed_ms`, from `from_deg` true where that is given, and goes back again."""

    at: float
    seconds: float
    speed_ms: float
    from_deg: float | None = None


@dataclass(frozen=True, slots=True)
class TideSurge:
    """The water comes up by `metres` (negative: goes down) half way through, and back."""

    at: float
    seconds: float
    metres: float


@dataclass(frozen=True, slots=True)
class ForgottenLine:
    """A line is forgotten: the tending that the stay file has at `tend_at` is not done, or it was made fast
    with `tension_kn` instead of what the stay file says."""

    line: str
    tend_at: float | None = None
    tension_kn: float | None = None


@dataclass(frozen=True, slots=True)
class PartedLine:
    line: str
    at: float


@dataclass(frozen=True, slots=True)
class BrakeRendering:
    """From `at` on the brake of the line's winch holds `brake_kn` only."""

    line: str
    at: float
    brake_kn: float


@dataclass(frozen=True, slots=True)
class CargoRate:
    """From `at` on a planned operation goes at `times` its rate, until its tonnes are moved."""

    operation: str
    at: float
    times: float = 2.0


Injection = GaugeFault | Gust | TideSurge | ForgottenLine | PartedLine | BrakeRendering | CargoRate


@dataclass(frozen=True, slots=True)
class Shows:
    """What the trainee may see."""

    ahead: bool = True
    """The hours ahead, with the rounds that rest on them."""
    advice: bool = True
    """The sentence of advice."""


@dataclass(frozen=True, slots=True)
class Exercise:
    """`tending`: whether tendings of the stay file after `start` are left to the trainee, or done as
    recorded. `stay` is as its file has it."""

    name: str
    file: str
    stay: Stay
    log: str
    start: float
    end: float
    injections: tuple[Injection, ...] = ()
    tending: Literal["trainee", "stay"] = "trainee"
    shows: Shows = Shows()
    story: str = ""
    """Shown to the trainee at the start."""
