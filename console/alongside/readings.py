"""Readings: what the gauges say at each cycle, channel by channel, with how far each can be believed.

Everything downstream sees only this: live feeds, recorded logs, look-aheads and tests all enter here.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Annotated

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


class Reason(IntEnum):
    """Why a value is not good. LOST ones leave no value; SUSPECT ones leave one that is marked."""

    NONE = 0
    WAITING = 1
    """Configured but not heard since the start (LOST)."""
    STALE = 2
    """Older than `stale_s` (SUSPECT)."""
    SILENT = 3
    """Older than `lost_s` (LOST)."""
    OUT_OF_RANGE = 4
    TOO_FAST = 5
    FROZEN = 6
    SPIKES = 7
    """So many spikes rejected that the mean rests on few samples (SUSPECT)."""
    INVALID = 8
    """The gauge itself says its value is not valid, or leaves it empty."""
    NOT_FITTED = 9
    """No feed gives this channel; nothing is expected of it (LOST, without an alert)."""
    EXPECTED = 10
    """Replaced by an expectation (predicted tide), not measured (SUSPECT)."""


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

    def __len__(self) -> int:
        return int(self.time.size)

    def column(self, channel: str) -> Floats:
        """Return (n,) values of a channel; all NaN for one that no feed gives."""
        if channel not in self.channels:
            return np.full(self.time.size, np.nan)
        return self.value[:, self.channels.index(channel)]

    def rows(self, start: int, stop: int) -> "Readings":
        """Return the instants start..stop-1 as views."""
        part = slice(start, stop)
        value, quality, reason, age = self.value[part], self.quality[part], self.reason[part], self.age[part]
        return Readings(self.time[part], self.channels, value, quality, reason, age)


def worst_quality(readings: Readings, channels: Sequence[str]) -> Codes:
    """Return (n,) worst Quality over those of `channels` that are fitted; GOOD where none of them is."""
    columns = [readings.channels.index(name) for name in channels if name in readings.channels]
    if not columns:
        return np.zeros(len(readings), dtype=np.int8)
    worst: Codes = readings.quality[:, columns].max(axis=1)
    return worst
