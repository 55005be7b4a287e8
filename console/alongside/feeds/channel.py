"""One channel from raw values to readings: checks new values, keeps those still needed, gives value, quality,
reason and age at any cycle."""

from bisect import bisect_right
from dataclasses import dataclass, field
from math import inf
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.feeds.checks import Flags, Judge, Rows, no_rows
from alongside.feeds.raw_values import RawValues
from alongside.feeds.smoothing import (
    GUST_MEAN_S,
    HIGHEST_OF_S,
    direction_between,
    gust_between,
    mean_between,
    peak_between,
    window_start,
)
from alongside.readings import Codes, Floats, Quality, Reason
from alongside.stay.channels import DIRECTIONS, derived_channel

REFUSALS: Final = 3
"""So many refused values in a row make a channel suspect; a single one only leaves the last good value."""

SPIKES_IN_A_ROW: Final = 10
"""The same for spikes: the crest of a swell that grows is refused for some seconds, and no fault of the
gauge."""

MOST_SPIKES: Final = 1.0 / 3.0
"""Share of spikes in the mean's window from which the mean is suspect."""

Whole = NDArray[np.int64]

_NONE, _WAITING, _SPIKES = int(Reason.NONE), int(Reason.WAITING), int(Reason.SPIKES)
_STALE, _SILENT, _FROZEN = int(Reason.STALE), int(Reason.SILENT), int(Reason.FROZEN)
_GOOD, _SUSPECT, _LOST = int(Quality.GOOD), int(Quality.SUSPECT), int(Quality.LOST)
"""Plain numbers: an array is compared with them four times as fast as with the members."""


@dataclass(frozen=True, slots=True)
class Column:
    """A channel at n cycles, (n,) each, as in Readings."""

    value: Floats
    quality: Codes
    reason: Codes
    age: Floats
    highest: Floats | None = None
    """Of the last ten minutes, where a channel is made of that: a gust, the peak of a load cell."""


@dataclass(slots=True)
class Channel:
    samples: RawValues
    judge: Judge = field(init=False)
    rows: Rows = field(default_factory=no_rows)
    lost_from: float = inf
    """From when on it is lost, where an earlier run heard it and this one has not: its age counts from
    `lost_s` before."""

    def __post_init__(self) -> None:
        self.judge = Judge(self.samples.source)

    @property
    def name(self) -> str:
        return self.samples.source.channel

    @property
    def was_heard(self) -> bool:
        """Return whether this run or an earlier one heard it."""
        return bool(self.rows.time.size) or self.lost_from < inf

    @property
    def derived(self) -> str | None:
        """Return the channel of the highest value, if there is one of this channel."""
        return derived_channel(self.name)

    def new_values(self, until: float) -> tuple[Floats, Floats]:
        """Return and remove samples at or before `until`."""
        count = bisect_right(self.samples.time, until)
        time, value = np.array(self.samples.time[:count]), np.array(self.samples.value[:count])
        del self.samples.time[:count], self.samples.value[:count]
        return time, value

    def accept(self, time: Floats, raw: Floats, heading: Floats | None) -> None:
        if time.size:
            self.rows = self.rows.joined(self.judge.judge(time, raw, heading))

    def believed_at(self, time: Floats, otherwise: float, within: float) -> Floats:
        """Return the newest believed value at each time (n,); `otherwise` where none came `within` so many
        s."""
        good = self.rows.reason == _NONE
        t, v = self.rows.time[good], self.rows.value[good]
        if not t.size:
            return np.full(time.size, otherwise)
        newest = np.searchsorted(t, time, side="right") - 1
        known = (newest >= 0) & (time - t[newest] <= within)
        return np.where(known, v[newest], otherwise)

    def read(self, times: Floats) -> Column:
        """Return the channel at each of `times` (rising); all values up to the last are in."""
        rows = self.rows
        heard = np.searchsorted(rows.time, times, side="right") - 1
        good = np.flatnonzero(rows.reason == _NONE)
        newest = np.searchsorted(rows.time[good], times, side="right") - 1
        if not good.size:
            return self._silent(times, heard)
        known = newest >= 0
        last = np.maximum(newest, 0)
        believed = rows.select(good)
        age = np.where(known, times - believed.time[last], np.nan)
        value, first = self._smoothed(believed, last)
        spiky = self._spiky(times, good, first, last)
        quality, reason = self._quality(times, heard, known, age, spiky)
        lost = quality == _LOST
        highest = None
        if self.derived is not None:
            highest_between = gust_between if self.name == "wind_speed" else peak_between
            highest = np.where(lost, np.nan, highest_between(believed.time, believed.value, last))
        return Column(np.where(lost, np.nan, value), quality, reason, age, highest)

    def _silent(self, times: Floats, heard: Whole) -> Column:
        """Return a channel of which nothing was ever believed."""
        nothing = np.full(times.size, np.nan)
        no = np.zeros(times.size, dtype=np.bool_)
        quality, reason = self._quality(times, heard, no, nothing, no)
        highest = None if self.derived is None else nothing.copy()
        since = self.lost_from - self.samples.source.lost_s
        age = np.where(times >= self.lost_from, times - since, np.nan)
        return Column(nothing, quality, reason, age, highest)

    def _smoothed(self, believed: Rows, last: Whole) -> tuple[Floats, Whole]:
        """Return the mean over `smooth_s` up to each newest value, and where that mean begins."""
        smooth_s = self.samples.source.smooth_s
        if smooth_s <= 0.0:
            return believed.value[last], last
        first = window_start(believed.time, believed.time[last], smooth_s)
        first = np.maximum(first, np.searchsorted(believed.level, believed.level[last]))
        mean = direction_between if self.name in DIRECTIONS else mean_between
        return mean(believed.value, first, last), first

    def _spiky(self, times: Floats, good: Whole, first: Whole, last: Whole) -> Flags:
        """Return True where too many values since the mean's window began were spikes."""
        spike = self.rows.reason == _SPIKES
        if not spike.any():
            return np.zeros(times.size, dtype=np.bool_)
        passed = np.concatenate(([0], np.cumsum(spike)))
        spikes = passed[np.searchsorted(self.rows.time, times, side="right")] - passed[good[first]]
        share: Flags = spikes > MOST_SPIKES * (spikes + last + 1 - first)
        return share

    def _quality(
        self, times: Floats, heard: Whole, known: Flags, age: Floats, spiky: Flags
    ) -> tuple[Codes, Codes]:
        """Return quality and reason at each cycle; of several reasons the one that explains most.

        A channel that still speaks but says nothing believable is lost or stale by the fault of its
        values, not because it is silent.
        """
        source = self.samples.source
        if not self.rows.time.size:
            lost = np.full(heard.size, _LOST, dtype=np.int8)
            return lost, np.where(times >= self.lost_from, _SILENT, _WAITING).astype(np.int8)
        row = np.maximum(heard, 0)
        complaint = np.where(heard < 0, _WAITING, self.rows.reason[row])
        speaks_badly = complaint != _NONE
        with np.errstate(invalid="ignore"):
            lost_now, stale = ~known | (age > source.lost_s), age > source.stale_s
        frozen = self.rows.frozen[row] & (heard >= 0)
        enough = np.where(complaint == _SPIKES, SPIKES_IN_A_ROW, REFUSALS)
        refusing = speaks_badly & (self.rows.refused[row] >= enough)
        reason = np.select(
            [lost_now & speaks_badly, lost_now, stale & speaks_badly, refusing, stale, frozen, spiky],
            [complaint, _SILENT, complaint, complaint, _STALE, _FROZEN, _SPIKES],
            default=_NONE,
        ).astype(np.int8)
        quality = np.where(lost_now, _LOST, np.where(reason == _NONE, _GOOD, _SUSPECT))
        return quality.astype(np.int8), reason

    def forget(self) -> None:
        """Drop what no later reading can need; the newest word and the newest believed value stay."""
        rows = self.rows
        accepted = (rows.reason == _NONE) | (rows.reason == _SPIKES)
        good = np.flatnonzero(rows.reason == _NONE)
        needed = max(
            self.samples.source.smooth_s, 0.0 if self.derived is None else HIGHEST_OF_S + GUST_MEAN_S
        )
        since = rows.time[good[-1]] - needed - 1.0 if good.size else np.inf
        keep = accepted & (rows.time >= since)
        keep[-1:] = True
        if not keep.all():
            self.rows = rows.select(keep)
