"""What the watch does at the console. Each is plain data; `by` is the initials of who did it, or ""."""

from dataclasses import dataclass
from typing import Final, Literal

MOST_METRES: Final = 50.0
"""m paid out or hove in at once; more is a slip of the finger. Common practice, no source."""


FROM_THE_BRIDGE: Final = "bridge"
"""Stands for initials where the ship's own alert management did it."""


@dataclass(frozen=True, slots=True)
class Acknowledge:
    """Acknowledge one alert. `transferred`: who does it takes the responsibility for it elsewhere."""

    cause: str
    subject: str
    by: str = ""
    transferred: bool = False


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
    """Silence all sound for a while; only that of one alert where `cause` names it."""

    by: str = ""
    cause: str = ""
    subject: str = ""


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
    accepted anew, else it no longer is. `handed_by` is who hands it over, "" where that is still to come."""

    by: str = ""
    accepts: bool = False
    handed_by: str = ""


@dataclass(frozen=True, slots=True)
class HandOver:
    """Who handed over the watch gives initials after it was taken over."""

    by: str = ""


@dataclass(frozen=True, slots=True)
class GiveOrder:
    """The master gives a standing order."""

    text: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class WithdrawOrder:
    """A standing order, known by its text, holds no longer."""

    text: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class SelfTest:
    """The console was tried: whether its bell was heard and its colours and marks seen, and what it found by
    itself, in words."""

    bell: bool = False
    colours: bool = False
    findings: str = ""
    by: str = ""


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
class LineGone:
    """A line parted, or was let go."""

    line: str
    how: Literal["parted", "let_go"]
    by: str = ""


@dataclass(frozen=True, slots=True)
class MakeFast:
    """A line that is not fast is made fast, where it leads: with exactly one of the tension that it then
    carries, or metres of main rope that are out, unstretched."""

    line: str
    tension_kn: float | None = None
    length_m: float | None = None
    by: str = ""


@dataclass(frozen=True, slots=True)
class ShiftLine:
    """A line was led over another fairlead, to another bollard, or both (None: as before), and made fast
    there: with metres of main rope out, unstretched, or a tension, else that of the stay file."""

    line: str
    fairlead: str | None = None
    bollard: str | None = None
    tension_kn: float | None = None
    length_m: float | None = None
    by: str = ""


@dataclass(frozen=True, slots=True)
class AddLine:
    """One more line was put out and made fast: with metres of main rope out, unstretched, or a tension. What
    is None is as of the line `like`: rope with its tail, fairlead, bollard, tension. Without a winch it is on
    bitts. `bight_with`: it is the other part of that line's rope."""

    line: str
    fairlead: str | None = None
    bollard: str | None = None
    rope: str | None = None
    winch: str | None = None
    like: str | None = None
    tension_kn: float | None = None
    length_m: float | None = None
    bight_with: str = ""
    by: str = ""
    serial: str = ""
    """Of its main rope, as marked on it; "" where nobody has said."""


@dataclass(frozen=True, slots=True)
class RenewLine:
    """A line got a new main rope, of a kind of the stay file, None: of the same kind, and was made fast: with
    metres of it out, unstretched, or a tension, else that of the stay file. `serial` as of a line put out."""

    line: str
    rope: str | None = None
    tension_kn: float | None = None
    length_m: float | None = None
    by: str = ""
    serial: str = ""


@dataclass(frozen=True, slots=True)
class NameRope:
    """The main rope of a line that was put out or renewed has this serial number, as marked on it: from when
    it came into the line on."""

    line: str
    serial: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class SetBrake:
    """The brake of a line's winch was set to hold another load, kN, on the layer that bears it now."""

    line: str
    holding_kn: float
    by: str = ""


@dataclass(frozen=True, slots=True)
class ReadLoad:
    """Somebody has read what a line carries, kN, 0 where it hangs slack, with one standard deviation, None as
    loads are read on a winch. It changes nothing by itself."""

    line: str
    load_kn: float
    sigma_kn: float | None = None
    by: str = ""


@dataclass(frozen=True, slots=True)
class AcceptLearnt:
    """What measured loads have shown of a line is accepted: it is `stiffness` times as stiff as the curve of
    its rope, within `stiffness_band` of that, and `longer_m` of main rope more are out than computed, so that
    it carries `at_kn` within `load_band` where it did; `source` says by what."""

    line: str
    stiffness: float
    stiffness_band: float
    longer_m: float
    at_kn: float | None
    load_band: float
    source: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True)
class PutTug:
    """A tug was made fast and pulls, or pushes: kN towards the quay, negative away from it, at a station m
    forward of the aft perpendicular. One of the same name pulls otherwise than before."""

    tug: str
    on_kn: float
    ship_x: float
    by: str = ""


@dataclass(frozen=True, slots=True)
class LetTugGo:
    """A tug was let go."""

    tug: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class ChangeCargo:
    """Cargo or ballast stopped, was begun, goes on at another rate, t/h, or is done: one operation of the
    plan by its name, "" for all."""

    what: Literal["stopped", "begun", "rate", "done"]
    operation: str = ""
    rate: float | None = None
    by: str = ""


Whom = Literal["master", "terminal", "linesmen", "tugs", "pilot", "engineer"]


@dataclass(frozen=True, slots=True)
class SayTransfer:
    """Arms or hoses were connected, or disconnected: which limits agreed with the terminal count."""

    connected: bool
    by: str = ""


@dataclass(frozen=True, slots=True)
class CallOut:
    """Somebody was called: whom, and about what in words or by the name of a channel; "" for
    nothing said."""

    whom: Whom
    about: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True)
class Correct:
    """What was entered last was wrong and is taken back: the last deed of a line, of `tug`, `cargo`,
    `transfer` or `call`, or the last reading by hand of a channel. Itself on record."""

    channel: str = ""
    by: str = ""
    note: str = ""
    """As of a reading."""
    line: str = ""


Action = (
    Acknowledge
    | Accept
    | Silence
    | TendLine
    | Note
    | TakeOver
    | HandOver
    | GiveOrder
    | WithdrawOrder
    | SelfTest
    | JudgeChannel
    | AnswerBrake
    | ReadByHand
    | ForecastWind
    | LineGone
    | MakeFast
    | ShiftLine
    | AddLine
    | RenewLine
    | NameRope
    | SetBrake
    | ReadLoad
    | AcceptLearnt
    | PutTug
    | LetTugGo
    | ChangeCargo
    | SayTransfer
    | CallOut
    | Correct
)


@dataclass(frozen=True, slots=True)
class Done:
    """What was done, and the cycle at which it took effect (UNIX seconds)."""

    time: float
    action: Action
    undone: bool = False
    """Taken back: a replay was gone back to before it."""
