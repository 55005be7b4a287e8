"""What would make the gauge follow its table: an hour's lag, another unit, another port."""

from collections.abc import Callable
from dataclasses import dataclass
from math import nan
from typing import Final

import numpy as np

from alongside.readings import Floats

LAGS_H: Final = (-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0)
"""Hours by which the gauge comes after the table."""
LEAST_SAMPLES: Final = 32
"""Eight hours: a storm surge looks like another range or a lag on the flood alone, not on flood and ebb."""
LEAST_RANGE_M: Final = 1.0
BOTH_WAYS: Final = 0.6
"""The table must have risen and fallen by this share of its range within the window."""
MISSES_M: Final = 0.2
"""Less than this off the table, with a steady growth taken out, asks for no explanation: 3 sigma of weather
that comes and goes within a tide."""
BETTER: Final = 0.35
"""An explanation leaves no more than this share of what is missed without it."""
LEFT_M: Final = 0.15
ONE_SIDE: Final = 0.25
"""Of what the residual spans, on either side of the table: a surge is above it or below. What stays on one
side must have come with three turns of the tide."""
LONG_S: Final = 18 * 3600.0


@dataclass(frozen=True, slots=True)
class Fit:
    """What explains the gauge best. `likely`: `zone`, `unit`, `half`, `feet`, `sign`, `port`."""

    likely: str
    hours: float = nan
    off: float = nan
    """m by which gauge and table differ at most within the window."""


def explained(time: Floats, level: Floats, table_at: Callable[[Floats], Floats]) -> Fit | None:
    """Return what makes a measured tide (n,), evenly sampled, follow its table; None where it follows it
    as it is, where the window says too little, or where nothing does."""
    for count in (time.size, 40, LEAST_SAMPLES):
        if LEAST_SAMPLES <= count <= time.size:
            fit = _of_window(time[-count:], level[-count:], table_at)
            if fit is not None:
                return fit
    return None


def _of_window(time: Floats, level: Floats, table_at: Callable[[Floats], Floats]) -> Fit | None:
    table = table_at(time)
    known = ~np.isnan(level + table)
    if known.sum() < 0.8 * time.size:
        return None
    time, level, table = time[known], level[known], table[known]
    if not _both_ways(table):
        return None
    residual = level - table
    if float(residual.std()) <= MISSES_M:
        return None
    if _like_a_surge(residual) and time[-1] - time[0] < LONG_S:
        return None
    missed = _rms(residual - np.polyval(np.polyfit(time - time[0], residual, 1), time - time[0]))
    if missed <= MISSES_M:
        return None
    best: tuple[float, float, float] | None = None
    for lag in LAGS_H:
        shifted = table_at(time - lag * 3600.0)
        if np.isnan(shifted).any():
            continue
        scale, constant = np.polyfit(shifted, level, 1)
        left = _rms(level - constant - scale * shifted)
        if best is None or left < best[0]:
            best = left, lag, float(scale)
    if best is None or best[0] > min(BETTER * missed, LEFT_M):
        return None
    off = float(residual[np.abs(residual).argmax()])
    return _named(best[1], best[2], off)


def _like_a_surge(residual: Floats) -> bool:
    return min(float(residual.max()), -float(residual.min())) < ONE_SIDE * float(np.ptp(residual))


def _named(lag: float, scale: float, off: float) -> Fit | None:
    scaled = abs(scale - 1.0) > 0.2
    if lag and scaled:
        return Fit("port", off=off)
    if lag:
        return Fit("zone", lag, off)
    return Fit(unit_of(scale) or "unit", off=off) if scaled else None


def unit_of(ratio: float) -> str:
    """Return which slip makes a value so many times the right one: `feet`, `half`, `double`, `sign`; "" for
    none."""
    known = (("feet", 3.2808), ("feet", 0.3048), ("half", 0.5), ("double", 2.0), ("sign", -1.0))
    return next((name for name, of in known if abs(ratio - of) <= 0.06 * abs(of)), "")


def _both_ways(table: Floats) -> bool:
    span = float(np.ptp(table))
    rise = float((table - np.minimum.accumulate(table)).max())
    fall = float((np.maximum.accumulate(table) - table).max())
    return span >= LEAST_RANGE_M and min(rise, fall) >= BOTH_WAYS * span


def _rms(values: Floats) -> float:
    return float(np.sqrt(np.mean(values * values)))
