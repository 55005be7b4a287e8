"""Spikes in slow channels, after Hampel: a value is judged by median and MAD of the last minute."""

from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.readings import Floats

WINDOW_S: Final = 60.0
MOST: Final = 61
"""Values in the window at most: a minute at 1 Hz, the newest minute's end where a gauge is faster."""
LEAST: Final = 15
"""With fewer values in the window nothing is judged."""
SIGMAS: Final = 3.0
TO_SIGMA: Final = 1.4826
"""Standard deviation over MAD of a normal distribution."""
FLOOR: Final = {"heel": 0.25}
"""Nothing nearer to the median than this is a spike; deg for heel."""
FLOOR_M: Final = 0.16
"""More than the steps of a gauge that shows decimetres; what passes below it moves a mean of three minutes
by a millimetre."""
WORTH_COUNTING: Final = 32
"""Windows of one width from which on it is quicker to count first."""
_CLOCK_GRAIN: Final = 1e-3

Whole = NDArray[np.int64]


@dataclass(slots=True)
class SpikeFilter:
    """Remembers the values of the last minute. The window ends with the value that is judged, holds
    refused spikes as well, and never reaches back across a new level."""

    floor: float
    _time: Floats = field(default_factory=lambda: np.zeros(0))
    _value: Floats = field(default_factory=lambda: np.zeros(0))
    _level: Whole = field(default_factory=lambda: np.zeros(0, dtype=np.int64))

    @classmethod
    def of(cls, channel: str) -> "SpikeFilter":
        return cls(FLOOR.get(channel, FLOOR_M))

    def judge(self, time: Floats, value: Floats, level: Whole) -> NDArray[np.bool_]:
        """Return True where a value is a spike (k,)."""
        before = self._time.size
        time = np.concatenate((self._time, time))
        value = np.concatenate((self._value, value))
        level = np.concatenate((self._level, level))
        at = np.arange(before, time.size)
        first = np.maximum(np.searchsorted(time, time[at] - WINDOW_S - _CLOCK_GRAIN), at - MOST + 1)
        first = np.maximum(first, np.searchsorted(level, level[at]))
        spike = self._far_off(value, at, at - first + 1)
        self._time, self._value, self._level = time[-MOST:], value[-MOST:], level[-MOST:]
        return spike

    def _far_off(self, value: Floats, at: Whole, count: Whole) -> NDArray[np.bool_]:
        """Judge together those whose windows hold the same number of values."""
        spike = np.zeros(at.size, dtype=np.bool_)
        for width in np.unique(count).tolist():
            if width < LEAST:
                continue
            same = np.flatnonzero(count == width)
            every = np.lib.stride_tricks.sliding_window_view(value, width)
            if same.size >= WORTH_COUNTING:
                windows = _rows(every, at[same] - width + 1)
                same = same[_far(windows, self.floor) > (width - 1) // 2]
                if not same.size:
                    continue
            middle, spread = median_and_mad(_rows(every, at[same] - width + 1))
            limit = np.maximum(SIGMAS * TO_SIGMA * spread, self.floor)
            spike[same] = np.abs(value[at[same]] - middle) > limit
        return spike


def _far(windows: Floats, floor: float) -> Whole:
    """Return how many values of each window (n, w) are farther than the floor from its last one. While that
    is fewer than half of them, so that the median is not, nobody need know where it is."""
    last = windows[:, -1]
    far = np.zeros(last.size, dtype=np.int64)
    for column in windows.T:
        far += np.abs(column - last) > floor
    return far


def _rows(every: Floats, which: Whole) -> Floats:
    """Return rows by index; a view where they follow each other."""
    first, last = int(which[0]), int(which[-1])
    return every[first : last + 1] if last - first + 1 == which.size else every[which]


def median_and_mad(windows: Floats) -> tuple[Floats, Floats]:
    """Return median and MAD of each row (n, w); for even w the upper of the middle two."""
    half = windows.shape[1] // 2
    middle = np.partition(windows, half, axis=1)[:, half]
    deviation = np.abs(windows - middle[:, None])
    return middle, np.partition(deviation, half, axis=1)[:, half]
