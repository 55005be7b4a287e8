"""What the watch does at the console. Each is plain data; `by` is the initials of who did it, or ""."""

from dataclasses import dataclass
from typing import Final, Literal

MOST_METRES: Final = 50.0
"""m paid out or hove in at once; more is a slip of the finger. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Acknowledge:
    """Acknowledge one alert."""

    cause: str
    subject: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class Accept:
    """Accept one alert until a time (UNIX seconds, at most 12 h ahead), with a reason."""

    cause: str
    subject: str
    until: float
    reason: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class Silence:
    """Silence all sound for a while."""

    by: str = ""


@dataclass(frozen=True, slots=True)
class TendLine:
    """A line was tended: exactly one of metres paid out (negative = hove in) or the tension it carries."""

    line: str
    paid_out: float | None = None
    to_tension_kn: float | None = None
    by: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    text: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class TakeOver:
    """The watch was taken over; `by` is who keeps it from now on. `accepts`: what was accepted before is
    accepted anew, else it no longer is."""

    by: str = ""
    accepts: bool = False


@dataclass(frozen=True, slots=True)
class JudgeChannel:
    """Somebody has looked (tide board, draught marks, compass): a doubtful gauge is right, or its witness
    (table, plan, berth) is. Either ends the doubt."""

    channel: str
    right: Literal["gauge", "witness"]
    by: str = ""


@dataclass(frozen=True, slots=True)
class AnswerBrake:
    """Somebody has looked at the winch of a line: its brake slipped, by so many metres (None: as many as the
    figures had run out), or it held. The last answer counts."""

    line: str
    did: Literal["slipped", "held"]
    metres: float | None = None
    by: str = ""


@dataclass(frozen=True, slots=True)
class ReadByHand:
    """Somebody has read draughts, tide board, heel or wind at a time (UNIX seconds)."""

    values: tuple[tuple[str, float], ...]
    """(channel, value in its unit); of several pairs of crest and trough their mean."""
    at: float
    way: Literal["quay", "boat", "waves"] = "quay"
    """How it was read."""
    waves_m: float = 0.0
    """Height of the waves at the marks, m; 0 in a calm."""
    by: str = ""
    note: str = ""
    """Name of the note in which another terminal left it for the watch; "" where it was done here."""


@dataclass(frozen=True, slots=True)
class ForecastWind:
    """A weather forecast says what wind blows from a time on (UNIX seconds): 30 s mean and gust, m/s, and
    the direction it comes from, deg true."""

    at: float
    mean_ms: float
    gust_ms: float
    from_deg: float
    by: str = ""
    note: str = ""
    """As of a reading."""


@dataclass(frozen=True, slots=True)
class Correct:
    """The last reading by hand of a channel is taken back. Itself on record."""

    channel: str = ""
    by: str = ""
    note: str = ""
    """As of a reading."""


Action = (
    Acknowledge
    | Accept
    | Silence
    | TendLine
    | Note
    | TakeOver
    | JudgeChannel
    | AnswerBrake
    | ReadByHand
    | ForecastWind
    | Correct
)


@dataclass(frozen=True, slots=True)
class Done:
    """What was done, and the cycle at which it took effect (UNIX seconds)."""

    time: float
    action: Action
    undone: bool = False
    """Taken back: a replay was gone back to before it."""


@dataclass(frozen=True, slots=True)
class Speed:
    """Replay at this many times real time."""

    times: float


@dataclass(frozen=True, slots=True)
class Pause:
    on: bool


@dataclass(frozen=True, slots=True)
class Seek:
    """Replay from this instant (UNIX seconds) on."""

    time: float


@dataclass(frozen=True, slots=True)
class Step:
    """Replay so many cycles on and stand still."""

    cycles: int = 1


@dataclass(frozen=True, slots=True)
class ToAlert:
    """Replay to the next (1) or the previous (-1) time at which an alert was raised or grew worse, and stand
    still there."""

    way: int


@dataclass(frozen=True, slots=True)
class ToTend:
    """The same for a time at which a line was tended."""

    way: int


ReplayControl = Speed | Pause | Seek | Step | ToAlert | ToTend
