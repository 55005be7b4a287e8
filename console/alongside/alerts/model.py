"""Alerts as data: what stands, what happened, what the watch did. All frozen, all plain."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from math import nan
from typing import Final, Literal, get_args

from alongside.stay.causes import Cause
from alongside.stay.stage import Stage

Key = tuple[Cause, str]
"""(cause, subject)."""

EventWord = Literal[
    "raised",
    "worsened",
    "eased",
    "rectified",
    "acknowledged",
    "silenced",
    "escalated",
    "cleared",
    "tended",
    "note",
    "feed_lost",
    "feed_back",
    "gap",
    "started",
    "stopped",
    "accepted",
    "acceptance_ended",
    "reading",
    "parted",
    "let_go",
    "made_fast",
    "brake_slipped",
    "brake_held",
    "watch_taken",
    "watch_handed",
    "orders_read",
    "order_given",
    "order_withdrawn",
    "self_test",
]
"""What an event says happened, by the names that output and records use."""
EVENT_WORDS: Final[tuple[EventWord, ...]] = get_args(EventWord)


class Standing(Enum):
    """States of IMO bridge alert management; normal is the absence of an alert."""

    UNACKNOWLEDGED = "active unacknowledged"
    SILENCED = "active silenced"
    ACKNOWLEDGED = "active acknowledged"
    RECTIFIED = "rectified unacknowledged"


@dataclass(frozen=True, slots=True)
class Acceptance:
    """An alert that the watch accepts for a time, with a reason: `stage` and `value` are those of the instant
    at which it did, `at` and `until` UNIX seconds."""

    stage: Stage
    value: float
    until: float
    reason: str
    by: str
    at: float
    parts: int = 0
    """What called for it then, a bit each; `rule_model.Parts`."""


@dataclass(frozen=True, slots=True)
class Announcement:
    """A stage of an alert that was raised at a time with a value and for some parts, and whether somebody
    acknowledged it."""

    stage: Stage
    time: float
    value: float
    answered: bool = False
    parts: int = 0


@dataclass(frozen=True, slots=True)
class Alert:
    """One cause on one subject that stands now."""

    cause: Cause
    subject: str
    line: str | None
    stage: Stage
    standing: Standing
    raised_at: float
    changed_at: float
    """When stage or standing last changed."""
    value: float
    limit: float
    unit: str
    text: str
    silenced_until: float | None = None
    escalated: bool = False
    suspended: bool = False
    """Its input is lost: it neither sounds nor clears until the input is back."""
    held: bool = False
    """Comes and goes: held active."""
    owed: Stage = Stage.NORMAL
    """Worst stage that nobody has acknowledged yet, warning or alarm; normal where nothing is owed."""
    escalates_at: float | None = None
    """When it becomes an alarm if nobody acknowledges it before."""
    suspended_at: float | None = None
    held_until: float | None = None
    unanswered_since: float | None = None
    """Since when nobody has answered one that waiting has made an alarm; None for all others."""
    held_for: float = 300.0
    """For how long anew it is held whenever its condition comes on again, s."""
    alarm_since: float | None = None
    """Since when it has been an alarm that nobody has acknowledged, though it may have eased meanwhile."""
    acceptance: Acceptance | None = None
    """How the watch has accepted it; None for one that is not accepted."""
    transferred: bool = False
    """The responsibility for it was taken over elsewhere when it was acknowledged; ends when it worsens."""

    @property
    def key(self) -> Key:
        return self.cause, self.subject

    @property
    def is_accepted(self) -> bool:
        """Whether it is listed and counted, but without headline, colour and sound."""
        return self.acceptance is not None

    @property
    def flashes(self) -> bool:
        """Return whether it is shown as one that nobody has answered."""
        unanswered = self.standing in (Standing.UNACKNOWLEDGED, Standing.SILENCED, Standing.RECTIFIED)
        return unanswered and max(self.stage, self.owed) > Stage.CAUTION and not self.suspended

    @property
    def value_stage(self) -> Stage:
        """The stage by its own value: one that waiting has made an alarm is a warning still."""
        return Stage.WARNING if self.escalated else self.active_stage

    @property
    def active_stage(self) -> Stage:
        """The stage that its condition holds it at: normal once rectified."""
        return Stage.NORMAL if self.standing is Standing.RECTIFIED else self.stage


@dataclass(frozen=True, slots=True)
class Event:
    """One line of the event output; `alert` is the cause of the alert that it happened to."""

    time: float
    event: EventWord
    alert: Cause | None = None
    subject: str | None = None
    stage: Stage | None = None
    line: str | None = None
    value: float | None = None
    limit: float | None = None
    text: str = ""


@dataclass(frozen=True, slots=True)
class Condition:
    """Which stages a rule calls for by itself, the deadband applied but no delay, and since when each of
    them does or does not; (caution, warning, alarm)."""

    on: tuple[bool, bool, bool]
    since: tuple[float, float, float]
    reached: tuple[float, float, float] = (nan, nan, nan)
    """The value with which each stage came to be called for last; NaN where it had none."""
    parts: int = 0
    """What calls for a warning or an alarm now, a bit each."""


@dataclass(frozen=True, slots=True)
class Onset:
    """How a stage was reached: what a text says beside the figure of now."""

    was: float = nan
    """The value with which the stage was reached, said where that of now is better than the limit."""
    unanswered_since: float | None = None
    """Since when nobody has answered an alert that waiting has made an alarm."""
    rising: bool = False
    """It is just now raised or worsened, so that it is not said to ease."""


@dataclass(frozen=True, slots=True)
class Watchlist:
    """Everything that alerting remembers between two steps."""

    alerts: Mapping[Key, Alert] = field(default_factory=dict)
    conditions: Mapping[Key, Condition] = field(default_factory=dict)
    """Of every rule that has an alert or calls for a stage."""
    rises: Mapping[Key, tuple[tuple[Stage, float], ...]] = field(default_factory=dict)
    """Latest times at which a rule came to call for a stage, for chatter."""
    new_times: tuple[float, ...] = ()
    """Times of new alerts in the last ten minutes, for flood."""
    flood: bool = False
    announced: Mapping[Key, tuple[Announcement, ...]] = field(default_factory=dict)
    """Latest stages raised of each rule: the same one again within a quarter of an hour is no news."""
    accepted: Mapping[Key, Acceptance] = field(default_factory=dict)
    """What the watch has accepted, also while the condition is gone for a while."""


@dataclass(frozen=True, slots=True)
class Group:
    """In a flood, alerts of one cause stand as one row."""

    cause: Cause
    stage: Stage
    alerts: tuple[Alert, ...]
