"""Readings: what the gauges say at each cycle, channel by channel, with how far each can be believed.

Everything downstream sees only this: live feeds, recorded logs, look-aheads and tests all enter here.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import IntEnum
from typing import Annotated, Final

import numpy as np
from numpy.typing import NDArray

from alongside.stay.channels import CHANNELS as CHANNELS

Floats = Annotated[NDArray[np.float64], np.float64]
Codes = Annotated[NDArray[np.int8], np.int8]


class Quality(IntEnum):
    """How far a value can be believed; a result is as good as its worst input."""

    GOOD = 0
    SUSPECT = 1
    LOST = 2
    EXPECTED = 3
    """Not measured: by table, plan or last reading, within its spread. Behind the others by number, since
    records hold the numbers; between good and suspect by worth."""

    @property
    def rank(self) -> int:
        """How bad it is: good 0, expected 1, suspect 2, lost 3."""
        return int(_RANK[self])


class Reason(IntEnum):
    """Why a value is not good. LOST ones leave no value; SUSPECT ones leave one that is marked."""

    NONE = 0
    WAITING = 1
    """Configured but not heard yet (LOST)."""
    STALE = 2
    """Older than `stale_s` (SUSPECT)."""
    SILENT = 3
    """Older than `lost_s` (LOST); after a restart, of what was heard before, its age counts from then."""
    OUT_OF_RANGE = 4
    TOO_FAST = 5
    FROZEN = 6
    """The same raw value to the last digit for `freeze_s` (SUSPECT)."""
    SPIKES = 7
    """So many spikes rejected that the mean rests on few samples (SUSPECT)."""
    INVALID = 8
    """The gauge itself says its value is not valid, or leaves it empty."""
    NOT_FITTED = 9
    """No feed gives this channel; nothing is expected of it (LOST, without an alert)."""
    EXPECTED = 10
    """Replaced by an expectation (predicted tide, draughts by plan), not measured (EXPECTED)."""
    JUMPED = 11
    """Its mean moved faster than what it measures can, and is not back (SUSPECT)."""
    STILL = 12
    """Does not move while table, plan or wind do, jitter or not (SUSPECT)."""
    DIFFERS = 13
    """Stands apart from table, plan, berth or chart (SUSPECT)."""
    DISAGREES = 14
    """Disagrees with another gauge of the same thing (SUSPECT)."""
    NO_LINE = 15
    """A load on a line that is not made fast (SUSPECT)."""
    CLOSED = 16
    """The port of its feed is not open; the value is the last one (SUSPECT)."""
    WRONG_UNIT = 17
    """The sentence states a unit that is not the one expected."""
    BY_HAND = 18
    """Read by hand, and carried on by table or plan since (EXPECTED)."""
    APART = 19
    """Stands apart from what was read by hand (SUSPECT)."""


DOUBTS: Final = frozenset(
    {
        Reason.FROZEN,
        Reason.JUMPED,
        Reason.STILL,
        Reason.DIFFERS,
        Reason.DISAGREES,
        Reason.NO_LINE,
        Reason.APART,
    }
)
"""Reasons that another witness gives. No deed rests on such a value."""
MISLEADS: Final = DOUBTS - {Reason.FROZEN, Reason.STILL}
"""Of these, the ones of a value that may have moved where nothing did; a value that stands still is that of
before."""


@dataclass(frozen=True, slots=True)
class SenderInUse:
    """From when on a channel is taken from which sender. `after` is who sent it before, "" for the first."""

    feed: str
    channel: str
    sender: str
    since: float
    after: str = ""


@dataclass(frozen=True, slots=True)
class LineNumbers:
    """What was heard of a source that numbers its lines, by its name and the address of its sender, "" for
    none. `late` ones were missing first; `restarts` counts how often it began anew."""

    source: str
    sender: str
    heard: int
    missing: int
    repeated: int
    late: int
    restarts: int

    @property
    def flawed(self) -> bool:
        """Return whether lines are missing, or came twice, late, or anew."""
        return bool(self.missing or self.repeated or self.late or self.restarts)


@dataclass(frozen=True, slots=True)
class SecondSender:
    """Another sender of a channel than the one in use was heard; UNIX seconds."""

    feed: str
    channel: str
    other: str
    used: SenderInUse
    since: float
    until: float
    """When it has been silent for as long as makes a channel lost, or took over; no longer then."""


@dataclass(frozen=True, slots=True)
class FarAboveHabit:
    """A feed sends far more lines than it used to."""

    feed: str
    per_s: float
    usual_per_s: float | None
    """None where it is not known yet."""
    since: float
    until: float
    """No longer then."""


FeedCaution = SecondSender | FarAboveHabit


@dataclass(frozen=True, slots=True)
class Habit:
    """How many lines a feed sends a second, by so many `spans` of ten seconds; `far` where the last of them
    was far above that."""

    feed: str
    per_s: float = 0.0
    spans: int = 0
    far: FarAboveHabit | None = None


@dataclass(frozen=True, slots=True)
class FeedMemory:
    """What an intake must know to go on as if it had never stopped, beyond what it hears again in a log."""

    senders: tuple[SenderInUse, ...] = ()
    """In order of time; of each channel the last ones."""
    habits: tuple[Habit, ...] = ()
    heard: tuple[str, ...] = ()
    """Channels of the feeds that were heard, by this run or by one before it."""


NO_FEED_MEMORY: Final = FeedMemory()


@dataclass(frozen=True, slots=True)
class FeedNews:
    """What is known of feeds beside their values."""

    memory: FeedMemory = NO_FEED_MEMORY
    """At the last instant; the habits at the last full ten minutes."""
    senders: tuple[SenderInUse, ...] = ()
    """Senders taken into use at these instants, or since the last before them."""
    cautions: tuple[FeedCaution, ...] = ()

    def at(self, time: float) -> tuple[FeedCaution, ...]:
        """Return the cautions at an instant."""
        return tuple(each for each in self.cautions if each.since <= time < each.until)


NO_FEED_NEWS: Final = FeedNews()


@dataclass(frozen=True, slots=True)
class Readings:
    """n instants of c channels. `value` is NaN exactly where `quality` is LOST."""

    time: Floats
    """(n,) UNIX seconds, rising."""
    channels: tuple[str, ...]
    value: Floats
    """(n, c) in the channel's unit, smoothed where the stay file says so."""
    quality: Codes
    """(n, c) of Quality."""
    reason: Codes
    """(n, c) of Reason."""
    age: Floats
    """(n, c) seconds since the newest believable raw value; NaN before the first."""
    spread: Floats | None = None
    """(n, c) one standard deviation of what an EXPECTED value may be off, in the channel's unit, NaN for all
    others; None where nothing is expected."""
    whys: tuple[tuple[int, Mapping[str, str]], ...] = ()
    """From which row on which channel is doubtful for what reason, in words; rows rising."""
    feeds: FeedNews = NO_FEED_NEWS
    heard: "Readings | None" = None
    """The same by the gauges alone, where a reading by hand, the table or the stay file's draughts stand for
    one; None where none does."""

    def __len__(self) -> int:
        return int(self.time.size)

    @property
    def by_gauges(self) -> "Readings":
        """Return the readings by the gauges alone, without what was read by hand."""
        return self if self.heard is None else self.heard

    def is_fitted(self, channel: str) -> bool:
        """Return whether a channel has a gauge, or was read by hand, at any of the instants."""
        if channel not in self.channels:
            return False
        return bool((self.reason[:, self.channels.index(channel)] != Reason.NOT_FITTED).any())

    def column(self, channel: str) -> Floats:
        """Return (n,) values of a channel; all NaN for one that no feed gives."""
        if channel not in self.channels:
            return np.full(self.time.size, np.nan)
        return self.value[:, self.channels.index(channel)]

    def rows(self, start: int, stop: int) -> "Readings":
        """Return the instants start..stop-1 as views."""
        part = slice(start, stop)
        value, quality, reason, age = self.value[part], self.quality[part], self.reason[part], self.age[part]
        spread = None if self.spread is None else self.spread[part]
        whys = tuple((max(0, row - start), why) for row, why in self.whys if row < stop)
        heard = None if self.heard is None else self.heard.rows(start, stop)
        taken = self.time[part], self.channels, value, quality, reason, age
        return Readings(*taken, spread, whys, self.feeds, heard)

    def why(self, channel: str, row: int) -> str:
        """Return why a witness doubts a channel at an instant, in words; "" where none does."""
        return self.whys_at(row).get(channel, "")

    def whys_at(self, row: int) -> Mapping[str, str]:
        """Return why a witness doubts which channels at an instant, in words."""
        row = row + len(self) if row < 0 else row
        return next((why for begin, why in reversed(self.whys) if begin <= row), {})


READ_BY_HAND: Final = (
    "tide",
    "draught_fwd",
    "draught_aft",
    "draught_mid_port",
    "draught_mid_stbd",
    "heel",
    "wind_speed",
    "wind_from",
)
"""Channels that somebody may read by eye, whether or not a gauge gives them."""


def watched_channels(fitted: Sequence[str]) -> tuple[str, ...]:
    """Return the channels of a cycle: those that the feeds give, then those that may be read by hand."""
    return (*fitted, *(name for name in READ_BY_HAND if name not in fitted))


def with_unfitted(readings: Readings) -> Readings:
    """Return readings with a column for each channel that no feed gives and that may be read by hand."""
    channels = watched_channels(readings.channels)
    more, n = len(channels) - len(readings.channels), len(readings)
    if not more:
        return readings
    nothing = np.full((n, more), np.nan)

    def joined(codes: Codes, code: int) -> Codes:
        return np.hstack([codes, np.full((n, more), code, dtype=np.int8)])

    return replace(
        readings,
        channels=channels,
        value=np.hstack([readings.value, nothing]),
        quality=joined(readings.quality, Quality.LOST),
        reason=joined(readings.reason, Reason.NOT_FITTED),
        age=np.hstack([readings.age, nothing]),
        spread=None if readings.spread is None else np.hstack([readings.spread, nothing]),
    )


_RANK: Final = np.array([0, 2, 3, 1], dtype=np.int8)
"""How bad each Quality is, by its number."""
_BY_RANK: Final = np.array([Quality.GOOD, Quality.EXPECTED, Quality.SUSPECT, Quality.LOST], dtype=np.int8)


def worst_quality(readings: Readings, channels: Sequence[str]) -> Codes:
    """Return (n,) worst Quality over those of `channels` that are fitted; GOOD where none of them is."""
    columns = [readings.channels.index(name) for name in channels if name in readings.channels]
    if not columns:
        return np.zeros(len(readings), dtype=np.int8)
    rank = _RANK[readings.quality[:, columns]]
    rank[readings.reason[:, columns] == Reason.NOT_FITTED] = 0
    worst: Codes = _BY_RANK[rank.max(axis=1)]
    return worst
