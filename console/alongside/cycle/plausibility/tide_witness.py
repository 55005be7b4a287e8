"""The tide gauge against table or constituents: level, slope over an hour, standing offset, lag and scale."""

from collections.abc import Callable
from math import copysign, hypot, isnan, nan
from typing import Final

import numpy as np

from alongside.cycle.plausibility.bench import Bench
from alongside.cycle.plausibility.model import AGE, Doubt
from alongside.cycle.plausibility.sigmas import (
    MOST_SURGE_M,
    SEICHE_M,
    SIGMAS,
    SURGE_M_PER_H,
    WEATHER_M,
)
from alongside.cycle.plausibility.tide_fit import explained
from alongside.forecast.expected.witnesses import LEVEL_M
from alongside.readings import Floats, Reason

LASTS_S: Final = 180.0
"""A difference from the table must last three minutes."""
SEICHE_S: Final = 900.0
"""A small one longer than the half of a harbour's own swing."""
STANDS: Final = 0.5
"""An offset stands since the start where the least of all was no smaller than this share of it."""
STEADY_S: Final = 18 * 3600.0
STEADY_M: Final = 0.4
"""A mean offset that stands from the start over a tide and a half, and hardly varies, is no weather: of the
storms of January 2018 at Vlissingen the steadiest spread by 0.065 m within 12 h and 0.12 m within 18 h."""
STEADY_SPREAD_M: Final = 0.08
AGREES_SPREAD_M: Final = 0.15
AGREES_M: Final = 0.3
AGREES_MOVED_M: Final = 0.3
AGREES_ROWS: Final = 13
"""An hour of samples: gauge and table agree where level and slope do, while the table moves."""


def weigh_level(bench: Bench) -> None:
    """Hear the table on the newest level."""
    level = bench.value("tide")
    if isnan(level) or isnan(bench.table):
        return
    above = level - bench.table
    off = above - bench.offsets.get("tide", 0.0)
    bench.smallest = _nearer(bench.smallest, off)
    if isnan(bench.residual):
        bench.residual = copysign(min(abs(off), SIGMAS * WEATHER_M), off) + above - off
    limit = SIGMAS * hypot(WEATHER_M, bench.shape)
    stands = abs(off) > limit and abs(bench.smallest) >= STANDS * abs(off)
    grown = abs(off) > max(MOST_SURGE_M, SIGMAS * bench.shape)
    grows = SURGE_M_PER_H * (0.0 if isnan(bench.tide_heard) else bench.now - bench.tide_heard) / 3600.0
    away = abs(above - bench.residual) - grows
    jumped = away > SIGMAS * hypot(LEVEL_M, SEICHE_M, bench.shape)
    jumped |= bench.lasts("tide off one way", away > SIGMAS * hypot(LEVEL_M, bench.shape), SEICHE_S)
    # A ratio of levels at one instant says nothing of the unit: it is any figure, some time of the tide.
    doubt = Doubt("tide", Reason.DIFFERS, bench.now, above, "table", "datum" if stands else "")
    # One value of a gauge that speaks every ten minutes is no more than one, however long it stands.
    bench.hold(doubt, stands or grown or jumped, False, LASTS_S + 2.0 * bench.value(AGE), 0.0)
    if stands and ("tide", Reason.DIFFERS) in bench.doubts:
        bench.residual = bench.offsets.get("tide", 0.0)
    elif not bench.doubted("tide"):
        # Followed no faster than a storm surge grows.
        bench.residual += max(-grows, min(grows, above - bench.residual))


def weigh_course(bench: Bench) -> None:
    """Every five minutes: whether gauge and table have agreed over the last hour."""
    if not bench.doubted("tide"):
        return
    at = bench.place["tide"]
    rows = list(bench.slow)[-AGREES_ROWS:]
    table = np.array([bench.expected[row[0]][at - 1] for row in rows])
    residual = np.array([row[at] for row in rows]) - table
    if len(rows) < AGREES_ROWS or np.isnan(residual).any() or np.ptp(table) < AGREES_MOVED_M:
        return
    mean, accepted = float(residual.mean()), bench.offsets.get("tide", 0.0)
    near = abs(mean - accepted) < AGREES_M
    if abs(bench.residual - accepted) <= SIGMAS * WEATHER_M:
        near |= abs(mean - bench.residual) < AGREES_M
    if near and float(np.ptp(residual)) < AGREES_SPREAD_M:
        clear(bench, "tide")
        bench.residual = float(residual[-1])


def weigh_tides(bench: Bench, table_at: Callable[[Floats], Floats]) -> None:
    """Every quarter of an hour: whether a lag, a unit or another port explains the last tide, or an offset
    has stood through it."""
    standing = bench.doubts.get(("tide", Reason.DIFFERS))
    if standing is not None and standing.likely not in ("", "datum"):
        return
    time, level = np.array(bench.tide).T if bench.tide else (np.empty(0), np.empty(0))
    fit = explained(time, level - bench.offsets.get("tide", 0.0), table_at)
    if fit is not None:
        _named(bench, fit.off, fit.likely, fit.hours)
    elif standing is None and time.size and time[-1] - time[0] >= STEADY_S:
        off = level - table_at(time) - bench.offsets.get("tide", 0.0)
        mean = float(np.mean(off))
        stood = abs(bench.smallest) >= STANDS * abs(mean)
        if abs(mean) >= STEADY_M and stood and float(np.std(off)) <= STEADY_SPREAD_M:
            _named(bench, mean, "datum", nan)


def _named(bench: Bench, off: float, likely: str, hours: float) -> None:
    key = "tide", Reason.DIFFERS
    since = bench.doubts[key].since if key in bench.doubts else bench.now
    bench.doubts[key] = Doubt("tide", Reason.DIFFERS, since, off, "table", likely, hours)
    bench.residual = bench.offsets.get("tide", 0.0)  # what was taken for weather was none


def clear(bench: Bench, channel: str) -> None:
    """Drop every doubt of a channel, and what jumps of it added up to."""
    for key in [key for key in bench.doubts if key[0] == channel]:
        del bench.doubts[key]
    bench.shifts.pop(channel, None)
    bench.jumping.pop(channel, None)


def _nearer(before: float, off: float) -> float:
    """Of offsets since the start the nearest to nothing; 0 once they have been on both sides."""
    if isnan(before):
        return off
    if before * off <= 0.0:
        return 0.0
    return min(before, off, key=abs)
