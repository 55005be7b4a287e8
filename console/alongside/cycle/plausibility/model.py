"""A doubt, and what the judgement of channels hands from one block to the next."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import nan
from typing import Final

from alongside.readings import Reason

MINUTES: Final = 7
"""Samples kept of the last minutes: a jump shows in six of them."""
SLOW_S: Final = 300.0
SLOW: Final = 37
"""Samples kept at every `SLOW_S`: three hours."""
TIDE_S: Final = 900.0
TIDES: Final = 74
"""Levels kept at every `TIDE_S`: a tide and a half, 18 h."""

AGE: Final = "age of tide"
"""Beside the channels, each row bears how old the newest level was: a slow gauge is compared with the table
of then."""

Samples = tuple[tuple[float, float], ...]
Rows = tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why a channel is doubtful. `off` is its value minus what the witness `against` says, in the channel's
    unit (NaN where no figure says it); `likely` names the likely cause, "" where none stands out."""

    channel: str
    reason: Reason
    since: float
    off: float = nan
    against: str = ""
    likely: str = ""
    hours: float = nan
    """Of a table that seems early or late: by how much the gauge comes after it."""


@dataclass(frozen=True, slots=True)
class Plausibility:
    """All that is remembered of the channels. How finely a stay is cut into blocks makes no difference to it.

    Rows are (time, value of each of `channels`), NaN where no good value was heard; the last is `AGE`.
    """

    channels: tuple[str, ...] = ()
    minutes: Rows = ()
    slow: Rows = ()
    tide: Samples = ()
    doubts: tuple[Doubt, ...] = ()
    shifts: Mapping[str, float] = field(default_factory=dict)
    """What the jumps of a channel add up to, until it is back where it was."""
    jumping: Mapping[str, float] = field(default_factory=dict)
    """Mean before a jump that is going on."""
    heard: Mapping[str, tuple[float, float, float]] = field(default_factory=dict)
    """(time, value, what its witness said then) of a channel that may jump, when it was heard last."""
    timers: Mapping[str, float] = field(default_factory=dict)
    """Since when a test wants to say otherwise than it does."""
    offsets: Mapping[str, float] = field(default_factory=dict)
    """Differences from a witness that were accepted by hand."""
    set_aside: tuple[str, ...] = ()
    """Channels that were found wrong by hand: their witness stands for them."""
    residual: float = nan
    """m by which the tide stood above its table when last believed, followed no faster than a surge grows."""
    tide_heard: float = nan
    """When the tide was heard last."""
    smallest: float = nan
    """m above the table, of all since the start the nearest to it; 0 once it has been on both sides."""
    reference: tuple[float, ...] = ()
    """(time, draught forward, aft) measured first, where the stay file states none."""
    good: Mapping[str, tuple[float, float, float]] = field(default_factory=dict)
    """(time, value, rate per hour) of a channel that can be carried on, when it was last believed."""

    @property
    def unproved(self) -> bool:
        """Whether too little was heard yet for a jump to show."""
        return len(self.minutes) < MINUTES - 1

    @property
    def last_minute(self) -> float:
        """Number of the minute judged last; minus infinity before the first."""
        return self.minutes[-1][0] // 60.0 if self.minutes else float("-inf")


NOTHING_KNOWN: Final = Plausibility()
