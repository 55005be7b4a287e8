"""What a peak of a load cell, seen as a ship passed, says of the same ship's next pass.

Of the line itself: what came on goes with the square of the speed, V_ok = V sqrt((limit - before) / (peak -
before)). Of the others: the pull is taken so many times as computed that the balance gives that line the peak
that was seen, and every limit and the fenders are judged with it.
"""

from dataclasses import dataclass
from math import isnan, nan
from typing import Final

import numpy as np

from alongside.forecast.pass_tried import Highest, PassTried, comes_off, something_gives

MOST_TIMES: Final = 16.0
"""The pull as computed is not taken more often than so: the peak then came of something else."""
HALVINGS: Final = 30
SHARE: Final = 0.02
"""Of its load before: a line that comes on by no more in the calculation says nothing of the pull."""


@dataclass(frozen=True, slots=True)
class SeenPeak:
    """The load of a line, kN, before a ship passed and at the peak, and her speed then, m/s."""

    line: str
    still_kn: float
    peak_kn: float
    speed_ms: float


@dataclass(frozen=True, slots=True)
class ByPeak:
    """What a peak says. `line_ms`: at which that line comes to its limit, NaN where it is over it before;
    `next_kn` its peak at her speed of now, NaN beyond the range. `times`: how many times the pull was that of
    the calculation, NaN where `why_alone` says why that is not known, and no other line is judged: `lines`
    and `fenders` are None then, else the highest speeds at which no limit is passed, and her side stays on a
    fender."""

    seen: SeenPeak
    line_ms: float
    next_kn: float
    times: float = nan
    lines: Highest | None = None
    fenders: Highest | None = None
    why_alone: str = ""


def by_peak(tried: PassTried, speed_ms: float, seen: SeenPeak) -> ByPeak:
    """Return what a peak says of a pass at `speed_ms`."""
    arrangement = tried.basis.arrangement
    at = arrangement.ids.index(seen.line)
    limit = float(np.fmin(arrangement.smallest_wll_kn[at], arrangement.brake_kn[at]))
    line_ms = speed_by_peak(seen.speed_ms, seen.still_kn, seen.peak_kn, limit)
    next_kn = nan
    if speed_ms <= tried.range_ms:
        next_kn = peak_at(speed_ms, seen.speed_ms, seen.still_kn, seen.peak_kn)
    times, why = _times(tried, at, seen)
    if why:
        return ByPeak(seen, line_ms, next_kn, why_alone=why)
    lines, fenders = tried.highest(times, something_gives), tried.highest(times, comes_off, fenders=True)
    return ByPeak(seen, line_ms, next_kn, times, lines, fenders)


def speed_by_peak(speed_ms: float, still_kn: float, peak_kn: float, limit_kn: float) -> float:
    """Return the speed, m/s, at which the same ship brings a line to a limit that at `speed_ms` brought it
    from `still_kn` to `peak_kn`: V sqrt((limit - still) / (peak - still)). NaN where nothing came of her, or
    the limit is passed without her."""
    if not peak_kn > still_kn or not limit_kn >= still_kn:
        return nan
    return float(speed_ms * np.sqrt((limit_kn - still_kn) / (peak_kn - still_kn)))


def peak_at(speed_ms: float, seen_ms: float, still_kn: float, peak_kn: float) -> float:
    """Return the peak, kN, that the same ship brings at another speed: what came on with the square of it."""
    return float(still_kn + (peak_kn - still_kn) * (speed_ms / seen_ms) ** 2)


def _times(tried: PassTried, at: int, seen: SeenPeak) -> tuple[float, str]:
    """Return how many times the pull was that of the calculation, or why that is not known."""
    still = float(tried.loads(0.0)[0, at])
    if isnan(still):
        return nan, "nothing is known of its length"
    came, square = seen.peak_kn - seen.still_kn, seen.speed_ms**2

    def more(times: float) -> float:
        loads = tried.loads(times * square)[:, at]
        return float(np.nanmax(loads)) - still if np.isfinite(loads).any() else nan

    most = more(MOST_TIMES)
    if not most >= came:
        why = f"the pull would be more than {MOST_TIMES:g} times that computed"
        return nan, why if most > SHARE * still else "by the calculation she hardly loads it"
    low, high = 0.0, MOST_TIMES
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if more(middle) < came else (low, middle)
    return high, ""
