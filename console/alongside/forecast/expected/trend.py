"""Robust slopes: how fast a value moves, whatever spikes are in it; and how fast the gang works.

The slope is that of Theil and Sen, the median of the slopes between all pairs: H. Theil, Proc. Kon. Ned.
Akad. v. Wetensch. A 53 (1950) 386-392; P. K. Sen, J. Amer. Statist. Assoc. 63 (1968) 1379-1389, whose
interval is given too. Up to 29 % of wild values leave it standing.
"""

from dataclasses import dataclass
from statistics import NormalDist
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from alongside.readings import Floats

MOST_POINTS: Final = 400
"""Longer series are thinned to this: 80 000 pairs, a few milliseconds."""
TO_SIGMA: Final = 1.4826
"""A median of absolute deviations times this is a standard deviation, of a normal distribution."""
FAR: Final = 4.0
"""Standard deviations from a line beyond which a value is no part of it: one in 16 000 of a sound series."""
MOST_FAR: Final = 0.2
"""Share of a series above which what lies far off is no few bad values but the series itself."""
LEAST_PLANNED_M: Final = 0.05
"""A plan that moved the draught by less over the window says nothing of how fast the work goes."""
EFFICIENCY: Final = (0.0, 2.0)
"""Bounds of the factor: work does not undo itself, and no gang keeps up more than twice its plan."""


@dataclass(frozen=True, slots=True)
class Trend:
    """`slope` per unit of x, with the interval that holds it (90 %), and `intercept` at x = 0; NaN where two
    distinct x are not known."""

    slope: float
    intercept: float
    low: float
    high: float


NO_TREND: Final = Trend(*[float("nan")] * 4)


def theil_sen(x: ArrayLike, y: ArrayLike, confidence: float = 0.90) -> Trend:
    """Return robust line through (n,) points; NaN pairs are left out. The intercept is the median of y -
    slope x."""
    across, up = _known(np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64))
    first, second = np.triu_indices(across.size, k=1)
    run = across[second] - across[first]
    rise = up[second] - up[first]
    slopes = np.sort(rise[run != 0.0] / run[run != 0.0])
    if slopes.size == 0:
        return NO_TREND
    slope = float(np.median(slopes))
    low, high = _interval(slopes, across, up, confidence)
    return Trend(slope, float(np.median(up - slope * across)), low, high)


def sound_slope(x: Floats, y: Floats) -> float:
    """Return the least-squares slope of (n,) points, without the few that lie far off the robust line; plain
    least squares where none does."""
    slope, off = _least_squares(x, y)
    if np.abs(off).max() <= FAR * np.sqrt((off * off).mean()):
        return slope
    line = theil_sen(x, y)
    away = np.abs(y - line.intercept - line.slope * x)
    near = away <= FAR * TO_SIGMA * np.median(away)
    if 1.0 - near.mean() > MOST_FAR or np.ptp(x[near]) <= 0.0:
        return slope
    return _least_squares(x[near], y[near])[0]


def _least_squares(x: Floats, y: Floats) -> tuple[float, Floats]:
    """Return the slope, and how far each point lies off the line."""
    across, up = x - x.mean(), y - y.mean()
    slope = float((across * up).sum() / (across * across).sum())
    return slope, up - slope * across


def _known(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Return points that are known, thinned evenly to at most `MOST_POINTS`."""
    known = ~(np.isnan(x) | np.isnan(y))
    x, y = x[known], y[known]
    if x.size > MOST_POINTS:
        kept = np.linspace(0, x.size - 1, MOST_POINTS).round().astype(np.intp)
        x, y = x[kept], y[kept]
    return x, y


def _interval(slopes: Floats, x: Floats, y: Floats, confidence: float) -> tuple[float, float]:
    """Return Sen's interval: ranks either side of the middle by the spread of Kendall's tau, ties allowed
    for."""
    n = x.size
    spread = n * (n - 1) * (2 * n + 5)
    for values in (x, y):
        _, ties = np.unique(values, return_counts=True)
        spread -= int((ties * (ties - 1) * (2 * ties + 5)).sum())
    z = NormalDist().inv_cdf((1.0 + confidence) / 2.0)
    reach = z * (max(spread, 0) / 18.0) ** 0.5
    upper = min(round((slopes.size + reach) / 2.0), slopes.size - 1)
    lower = max(round((slopes.size - reach) / 2.0) - 1, 0)
    return float(slopes[lower]), float(slopes[upper])


def efficiency(planned: ArrayLike, measured: ArrayLike) -> Trend:
    """Return how fast cargo work goes against its plan: the robust slope of measured over planned draught,
    (n,) m each, over the last hours. 1 = as planned, 0.6 = at six tenths; kept within 0 and 2.

    NaN where the plan moved the draught by less than 5 cm over the window: then the plan's own rate stands.
    """
    plan = np.asarray(planned, dtype=np.float64)
    known = plan[~np.isnan(plan)]
    if known.size < 2 or np.ptp(known) < LEAST_PLANNED_M:
        return NO_TREND
    found = theil_sen(plan, measured)
    slope, low, high = np.clip([found.slope, found.low, found.high], *EFFICIENCY)
    return Trend(float(slope), found.intercept, float(low), float(high))
