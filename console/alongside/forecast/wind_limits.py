"""Where a wind is held against a limit that was agreed, or against what the lines hold: the one place for
it."""

from dataclasses import replace
from math import isfinite, isnan, nan

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.expected.ensemble import Expected
from alongside.forecast.expected.wind import mean_wind
from alongside.forecast.expected.wind_forecast import standing
from alongside.forecast.present import Present
from alongside.readings import Floats
from alongside.stay.model import WindLimit
from alongside.stay.wind_means import GUST, TEN_MINUTES

Flags = NDArray[np.bool_]


def share_of(
    limit: WindLimit | None, holds: Floats | None, speed: Floats, come_from: Floats, counts: Flags
) -> Floats:
    """Return (members, m) the wind by the limit, 1 where it is reached: 30 s means `speed` m/s from
    `come_from` deg true against `limit`, or where that is None against what is held, (members, m) m/s. 0
    where the limit does not count (m,), or in another sector. A direction that is not known may be any; a
    speed that is not known reaches nothing, as nobody can say when."""
    if limit is None:
        assert holds is not None, "a limit is agreed, or what is held"
        share = np.full(speed.shape, np.inf)
        np.divide(speed, holds, out=share, where=holds != 0.0)
    else:
        share = speed / (GUST if limit.gust else 1.0) / limit.speed_ms
        if limit.sector is not None:
            share = np.where(np.isnan(come_from) | in_sector(come_from, limit.sector), share, 0.0)
    return np.where(counts & ~np.isnan(share), share, 0.0)


def in_sector(come_from: Floats, sector: tuple[float, float]) -> Flags:
    """Return whether directions, deg true, lie in a sector, clockwise from its first to its second, both
    among them: one from 350 to 20 lies across north, one from 0 to 360 is the whole circle."""
    begin, end = sector
    wide = 360.0 if begin % 360.0 == end % 360.0 else (end - begin) % 360.0
    return np.asarray((come_from - begin) % 360.0 <= wide)


def measured_wind(limit: WindLimit | None, present: Present) -> float:
    """Return the 30 s mean of now that is held against a limit, m/s; for one of gusts that of the highest of
    ten minutes, where it is more. NaN where it is not known."""
    speed = present.wind_speed
    if limit is not None and limit.gust and present.wind_gust * GUST > speed:
        speed = present.wind_gust * GUST
    return speed


def measured_share(limit: WindLimit | None, holds: Floats | None, present: Present, counts: bool) -> float:
    """Return what is measured now by the limit; NaN where it is not known."""
    speed = measured_wind(limit, present)
    if isnan(speed):
        return nan
    here = None if holds is None else holds[:1, :1]
    wind = np.array([[speed]]), np.array([[present.wind_from]])
    return float(share_of(limit, here, *wind, np.array([counts]))[0, 0])


def in_gusts(present: Present, expected: Expected) -> Expected:
    """Return what is expected with 30 s means where the wind of now goes on, which is a mean over half an
    hour: a quarter more, as of a mean over ten minutes, or less where gusts are lower; without a forecast
    throughout, else less and less until its first row, whose figures are 30 s means already."""
    speed, _ = mean_wind(present)
    gusty = present.wind_gust * GUST / speed if speed > 0.0 else 1.0
    gusty = min(gusty, TEN_MINUTES) if isfinite(gusty) else TEN_MINUTES
    if gusty <= 1.0 or present.wind_speed > gusty * speed:  # a squall is in what is expected
        return expected
    ahead = [each.at for each in standing(present.wind_forecast) if each.at > present.time]
    left = np.ones(expected.time.size)
    if ahead:
        left = np.interp(expected.time, [present.time, ahead[0]], [1.0, 0.0])
    return replace(expected, wind_speed=expected.wind_speed * (1.0 + (gusty - 1.0) * left))
