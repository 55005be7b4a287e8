"""An exercise, as read from its file. Plain numbers; times are UNIX seconds, lengths m, forces kN."""

from dataclasses import dataclass, field
from typing import Literal

from alongside.actions import Whom
from alongside.stay.model import GaugeFault, Stay
from alongside.training.other_weather import AS_RECORDED, OtherWeather


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


Sender = Literal["terminal", "tug", "engine", "master"]


@dataclass(frozen=True, slots=True)
class Message:
    """Words that come to the watch, from the terminal, a tug, the engine room or the master."""

    at: float
    sender: Sender
    text: str


Injection = GaugeFault | Gust | TideSurge | ForgottenLine | PartedLine | BrakeRendering | CargoRate | Message


@dataclass(frozen=True, slots=True)
class Crew:
    """Who carries out what is ordered, and how long it takes. `hands` on deck, None: as many as wanted. A
    line takes `hands_per_line` of them for `minutes_per_line`; fewer take as much longer. The `_min` are
    minutes from the order, or the call, on. All defaults but those of the stay file are common practice, no
    source."""

    hands: int | None = None
    hands_per_line: int = 2
    minutes_per_line: float = 10.0
    new_line_min: float = 25.0
    """A line put out, made fast, shifted, renewed or let go, once linesmen are on the quay."""
    reading_min: float = 5.0
    walk_ms: float = 1.0
    """m/s, along the deck at night."""
    master_min: float = 10.0
    more_hands: int = 4
    """Once the master is called, so many more turn out."""
    linesmen_min: float = 20.0
    cargo_min: float = 5.0
    tugs: int = 1
    """To be had at this berth."""
    tug_min: float = 45.0
    engineer_min: float = 30.0
    """Until a gauge works again."""


@dataclass(frozen=True, slots=True)
class Shows:
    """What the trainee may see."""

    ahead: bool = True
    """The hours ahead, with the rounds that rest on them."""
    advice: bool = True
    """The sentence of advice."""
    decide: bool = False
    """Times to decide by and the wind forecast of the stay file: part of the hours ahead."""


@dataclass(frozen=True, slots=True)
class Expected:
    """A deed that the trainer expects, ordered from `since` to `by` (UNIX s): its kind as in a file of
    actions, and of which line, channel or person where that matters. `way` is that of a tending; `what`
    becomes of cargo (of one `operation`, or all), or of arms and hoses: where nothing is said, cargo is
    stopped or goes slower, and they are disconnected. `why` stands in the debrief."""

    deed: str
    since: float
    by: float
    why: str
    line: str | None = None
    whom: Whom | None = None
    channel: str | None = None
    way: Literal["slack", "heave"] | None = None
    what: Literal["stopped", "begun", "rate", "done", "connected", "disconnected"] | None = None
    operation: str = ""


@dataclass(frozen=True, slots=True)
class Mark:
    """A moment that the instructor marked, with words for the debrief."""

    at: float
    text: str


@dataclass(frozen=True, slots=True)
class Freeze:
    """The instructor let time stand at `at`, for so many seconds of the clock on the wall. Nothing of the
    exercise rests on it."""

    at: float
    seconds: float


@dataclass(frozen=True, slots=True)
class Instructed:
    """What an instructor did while the exercise was lived through. `injections` are the last of those of the
    exercise."""

    injections: tuple[Injection, ...] = ()
    marks: tuple[Mark, ...] = ()
    freezes: tuple[Freeze, ...] = ()


@dataclass(frozen=True, slots=True)
class LineStood:
    """At `at` a line had `out_m` of its main rope out, unstretched, or was `gone`."""

    at: float
    line: str
    out_m: float | None = None
    gone: Literal["parted", "let_go"] | None = None


@dataclass(frozen=True, slots=True)
class Vary:
    """How far a drawn variation may be from the file, either way. All of it is common practice, no source."""

    minutes: float = 10.0
    """By so much injections come earlier or later, and with them what is expected because of them."""
    tide_m: float = 0.15
    tide_min: float = 15.0
    tide_range: float = 0.05
    """A share, as `wind` and `size`."""
    wind: float = 0.08
    """Of the speed: of all of the wind, and of each gust."""
    wind_deg: float = 10.0
    size: float = 0.15
    """Of surges, cargo rates, what a brake holds and with what a forgotten line was made fast."""
    among: tuple[tuple[str, ...], ...] = ()
    """Lines, or gauges, of which any may be the one that is hit in the place of another."""


@dataclass(frozen=True, slots=True)
class Exercise:
    """`injections` are all, those of the instructor last. `tending`: whether tendings of the stay file after
    `start` are left to the trainee, or done as recorded. `stay` is as its file has it."""

    name: str
    file: str
    stay: Stay
    log: str
    start: float
    end: float
    injections: tuple[Injection, ...] = ()
    tending: Literal["trainee", "stay"] = "trainee"
    expected: tuple[Expected, ...] = ()
    shows: Shows = Shows()
    crew: Crew = Crew()
    pace: float = 1.0
    """Of an exam, times real time."""
    pass_mark: int | None = None
    """Points of 100 from which on an exam is passed; None: nobody asks."""
    story: str = ""
    """Shown to the trainee at the start."""
    level: int = 1
    """1 to 3: from one thing at a time to several at once."""
    aims: str = ""
    """What is to be learnt."""
    instructed: Instructed = Instructed()
    stood: tuple[LineStood, ...] = ()
    """How lines stood before it begins, of a stay whose log was cut."""
    vary: Vary = Vary()
    seed: int | None = None
    """Of a drawn variation; None: it is as the file has it."""
    weather: OtherWeather = AS_RECORDED
    """Of a drawn variation, for the whole of the stay."""
    digest: str = field(default="", compare=False)
    """Of its file, by which an attempt knows it again."""
