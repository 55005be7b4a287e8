"""The Picture: everything known at one instant, frozen. Screens, record and JSON see only this."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import nan

from alongside.actions.controls import InSight
from alongside.alerts.model import Alert, Event, Group
from alongside.alerts.rule_model import DueBy
from alongside.cycle.decide_memory import NOTHING_DECIDED, DecideMemory
from alongside.cycle.deck.altered import AS_WRITTEN, OnDeck
from alongside.cycle.deck.model import OtherDeed
from alongside.cycle.line_row import LineRow
from alongside.cycle.plausibility.by_hand import HandReadings
from alongside.cycle.plausibility.model import Doubt
from alongside.cycle.watchkeeping import NOTHING_KEPT, Watchkeeping
from alongside.cycle.who_holds import HeldBy
from alongside.forecast.decided import Decisions
from alongside.forecast.learning.line_found import LineFound
from alongside.forecast.model import Forecast
from alongside.forecast.present import Present
from alongside.mechanics.holding import NO_WEAK_SPOT, HoldingPower, WeakSpot
from alongside.readings import Floats, LineNumbers, Quality, Reason
from alongside.stay.causes import Cause
from alongside.stay.model import Stay
from alongside.stay.stage import Stage


@dataclass(frozen=True, slots=True)
class OtherFigures:
    """Figures by table, plan or another gauge beside those of a doubtful one; lines in the stay's order."""

    tide: float
    draught_fwd: float
    draught_aft: float
    heel_deg: float
    stretch_share: tuple[float, ...]
    tension_kn: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class FenderRow:
    x: float
    deflection: float
    reaction_kn: float


@dataclass(frozen=True, slots=True)
class ChannelRow:
    """One fitted channel: its value now and how far it can be believed."""

    channel: str
    feed: str
    value: float
    quality: Quality
    reason: Reason
    age: float
    why: str = ""
    """Why a witness doubts it, in words."""
    spread: float = float("nan")
    """One standard deviation of what it may be off, in its unit; NaN where not known."""


@dataclass(frozen=True, slots=True)
class FeedRow:
    """One feed as its reader sees it."""

    name: str
    port: str
    open: bool
    note: str = ""
    """Why it is not open, when it is tried again; or "" ."""
    sentences: int = 0
    faults: int = 0
    """Sentences counted and not used: checksum, garbage, over-long, unknown time."""
    dropped: int = 0
    """Lines that came faster than they can be taken: neither used, nor recorded, nor among `sentences`."""
    dropping: bool = False
    """Some were dropped within the last minute."""
    others: int = 0
    """Datagrams of senders that the feed's `from=` does not name; the same."""
    numbers: tuple[LineNumbers, ...] = ()
    """Of sources that number their lines."""


@dataclass(frozen=True, slots=True)
class History:
    """Thinned past for strip charts: `series[name]` is (m,), NaN where not known; `time` (m,) rising.

    Names: a channel (`tide`), or `<quantity>.<line id>` with quantity one of vertical_deg, stretch_share,
    load_share, tension_kn.
    """

    time: Floats
    series: Mapping[str, Floats]


@dataclass(frozen=True, slots=True)
class Advice:
    """The sentence always in sight: what must be done, in plain words, and how urgent it is."""

    text: str
    """At most about 110 characters."""
    stage: Stage
    short: str = ""
    """The same in at most 70 characters, for narrow screens."""
    large: str = ""
    """From the closed list of headlines, at most 20 cells, to be read from afar."""
    by: str = ""
    """Metres to slack or heave, to stand beside the headline: `0.80 m`; "" where it names none."""


@dataclass(frozen=True, slots=True)
class DeskActs:
    """What the watch handed in at this desk, counted in its order from the desk's start."""

    taken: int = 0
    """Acts up to this one have taken effect."""
    kept: int | None = None
    """Acts up to this one are on record, on the disk; None where no record is kept."""
    why_not: str = ""
    """Why not all that was taken is on record, in words."""
    refused: tuple[int, ...] = ()
    """Acts that could not be done."""


@dataclass(frozen=True, slots=True)
class RecordTried:
    """What the record did when it was tried for the `number`-th time at this desk: seconds to write a row to
    the disk and read it back, NaN where that failed; free space of its disk, bytes, NaN where not known."""

    number: int
    seconds: float = nan
    free: float = nan
    fault: str = ""


@dataclass(frozen=True, slots=True)
class AlertsPort:
    """How the port on which alerts go out is: `note` says what is wrong with it, or with that for commands;
    messages sent, and those that it did not take."""

    open: bool
    note: str
    sent: int
    unsent: int


@dataclass(frozen=True, slots=True)
class AtWork:
    """What the crew of an exercise, or somebody else, was asked to do, in words: done at `end`, UNIX s,
    infinite while it waits for hands or for somebody to come."""

    words: str
    end: float
    line: str = ""
    """The line that it is about, "" for none."""


@dataclass(frozen=True, slots=True)
class Instructing:
    """What an instructor knows beside the trainee's Picture, in words: `sections` with their rows. `in_sight`
    is what the trainee has before him, None while that is not known; `trainee` says who it is."""

    trainee: str
    in_sight: InSight | None
    sections: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """Not known is NaN, never 0. Times are UNIX seconds; heel deg starboard down +; trim by the stern +."""

    time: float
    stay: Stay
    tide: float
    tide_rate: float
    """m/h, over the last ten minutes."""
    draught_fwd: float
    draught_aft: float
    heel_deg: float
    """NaN where not measured."""
    trim: float
    surge: float
    sway: float
    yaw_deg: float
    wind_ms: float
    wind_gust_ms: float
    wind_from_deg: float
    quality: Quality
    lines: tuple[LineRow, ...]
    fenders: tuple[FenderRow, ...]
    channels: tuple[ChannelRow, ...]
    feeds: tuple[FeedRow, ...]
    alerts: tuple[Alert, ...]
    """Worst first, newest first within a stage."""
    groups: tuple[Group, ...]
    """Not empty only in a flood: the same alerts by cause."""
    log: tuple[Event, ...]
    """History of events of the last 24 h, newest last."""
    history: History
    advice: Advice
    sound: Stage
    """Which pattern is due to sound at this instant; NORMAL for none."""
    forecast: Forecast | None = None
    """The hours ahead as they were last worked out; None where nothing is known of them yet."""
    older_forecast: Forecast | None = None
    """While `forecast` is None after a deed on deck: the hours ahead as they were before it, of the lines of
    then, for the page alone."""
    look_only: bool = False
    """Another console keeps the watch: nothing can be done at this one."""
    unkept: bool = False
    """Looked at only, and whoever kept the watch is gone: nobody does."""
    can_keep: bool = False
    """Looked at only, by a console that can keep the watch when nobody does."""
    keeping: str = ""
    """What became of asking this console to keep the watch, in words; "" where that is done or not asked."""
    stages: Mapping[tuple[Cause, str], Stage] = field(default_factory=dict)
    """Of every cause on every subject, by the limits now, without deadband or delay: `("under_keel", "")`,
    `("drift", "surge")`, `("bollard", "B12")`, `("steep", "4")`. What is not known is left out."""
    holding: HoldingPower | None = None
    """Holding power by direction, a minute old at most, the smaller of both states while brakes are in
    question; None where she is kept in place."""
    holds_ms: float = nan
    """30 s wind, m/s, that is held from the weakest direction within 15 deg of where it blows: of the instant
    of `holding`, and what the alert goes by. NaN where not known."""
    weak: WeakSpot = NO_WEAK_SPOT
    """What gives first there."""
    weak_otherwise: WeakSpot = NO_WEAK_SPOT
    """The same in the other state of brakes in question, which holds more; nothing where none is."""
    who_holds: tuple[HeldBy, ...] = ()
    """Who holds her now and at the next high and low water; empty where nothing is worked out."""
    holding_text: str = ""
    """The weak spot in a sentence; "" where nothing is worked out."""
    replay: bool = False
    speed: float = 1.0
    paused: bool = False
    at_work: "tuple[AtWork, ...]" = ()
    """Orders of an exercise that are not done yet."""
    exercise: bool = False
    """Of an exercise: what is in sight is part of it."""
    exam: bool = False
    """Of an exam: time goes on by itself, and is shown by no key that moves it."""
    decisions: Decisions | None = None
    """What the hours ahead call for; None where nobody asked, or nothing is known of them."""
    due: tuple[DueBy, ...] = ()
    """Of each deed that it calls for what is to be ordered next, or that all is ordered."""
    decided: DecideMemory = NOTHING_DECIDED
    told: str = ""
    """What has just come for whoever sits at an exercise: a message, or that the instructor stopped time."""
    stationed: bool = False
    """An instructor may follow this console: what is in sight is told to its desk."""
    instructing: Instructing | None = None
    """This console instructs; None at all others."""
    forecast_hidden: bool = False
    """Nothing of the hours ahead is to be shown: an exercise without its forecast."""
    unrecorded: str = ""
    """What is not being put on record, in words; "" where all is, or nothing is to be."""
    log_spans: tuple[tuple[float, float], ...] = ()
    """(from, to) of what the log of a replay holds, UNIX seconds, in order; () where not known yet."""
    acts: DeskActs = DeskActs()
    """What became of what was handed in at this desk."""
    reading: tuple[float, float] | None = None
    """While a log is read on to a time asked for: read so far, and that time, UNIX seconds."""
    residual: float = float("nan")
    """m by which the tide gauge stands above its table; NaN where either is not known."""
    doubts: tuple[Doubt, ...] = ()
    """What stands against which gauge."""
    present: Present | None = None
    """Where she floats and the lengths that are out at this instant, to ask what if from: without what was
    measured before. None where nothing is known yet."""
    learnt: tuple[LineFound, ...] = ()
    """What measured loads show of lines, as it was looked for last."""
    by_hand: HandReadings = ()
    """What was read by hand."""
    deck: OnDeck = AS_WRITTEN
    """What was done on deck that the stay file does not say."""
    other_deeds: tuple[OtherDeed, ...] = ()
    """What was entered of tugs and cargo and may be taken back."""
    by_witnesses: OtherFigures | None = None
    """How she floats and what her lines carry as the witnesses of doubtful gauges have it; None where nothing
    is doubtful, or no witness says other figures."""
    watchkeeping: Watchkeeping = NOTHING_KEPT
    """Standing orders, hand-over and self-test."""
    alerts_out: AlertsPort | None = None
    """The port on which alerts go to the bridge; None where the stay file has none, or none is sent here."""
    record_tried: RecordTried | None = None
    """What became of trying the record last; None where it never was."""
