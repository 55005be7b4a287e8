"""Wind to come: by the weather forecast that somebody has typed, else as it is now in the mean, with a band
that opens."""

from collections.abc import Sequence
from math import isnan, nan
from typing import Final

import numpy as np

from alongside.forecast.expected.draws import wandering
from alongside.forecast.expected.wind_forecast import WindAt, around_now, by_forecast
from alongside.forecast.present import Present
from alongside.readings import Floats

MEAN_S: Final = 1800.0
"""The wind now is the mean of so long."""
SQUALL: Final = 1.25
"""Where it blows so many times that mean now, what is above it counts too, and fades. Common practice, no
source."""
SQUALL_S: Final = 1800.0
MEMORY_S: Final = 3 * 3600.0
SPEED: Final = (0.10, 0.02, 0.35)
"""Standard deviation of the logarithm of the speed: now, more an hour, most. Common practice, no source."""
TURN_DEG: Final = (5.0, 2.0, 30.0)
"""The same of the direction, deg."""


def wind_ahead(
    present: Present, time: Floats, members: int, rngs: Sequence[np.random.Generator]
) -> tuple[Floats, Floats]:
    """Return (members, m) speed m/s and the direction it comes from, deg true; NaN where not known now.

    Each of the two has a generator of its own, so that a farther look begins as a nearer one.
    """
    speed, come_from = expected_wind(present, time)
    hours = np.maximum(time - present.time, 0.0) / 3600.0
    faster = np.minimum(SPEED[0] + SPEED[1] * hours, SPEED[2]) * wandering(rngs[0], members, time, MEMORY_S)
    turned = np.minimum(TURN_DEG[0] + TURN_DEG[1] * hours, TURN_DEG[2]) * wandering(
        rngs[1], members, time, MEMORY_S
    )
    return speed * np.exp(faster), (come_from + turned) % 360.0


def expected_wind(present: Present, time: Floats) -> tuple[Floats, Floats]:
    """Return (m,) speed m/s and direction deg true as expected: from the wind of now to that of the forecast;
    without one as it is now. While no speed is measured it is that of the forecast from now on: nobody knows
    what blows now, nor before the first row; a row of the past alone serves where a wind was heard before."""
    as_now = _as_now(present, time)
    if not present.wind_forecast:
        return as_now
    now = present.time
    speed, come_from = (float(each[0]) for each in _as_now(present, np.array([now])))
    forecast = by_forecast(present.wind_forecast, now, (speed, come_from), time)
    if forecast is None:
        return as_now
    if not isnan(speed):
        return forecast
    before, ahead = around_now(present.wind_forecast, now)
    if not ahead and not has_heard_wind(present):
        return as_now
    known = time > now if before is not None else time >= ahead[0].at
    return np.where(known, forecast[0], nan), forecast[1]


def has_heard_wind(present: Present) -> bool:
    """Return whether a gauge has given a speed of wind, now or before."""
    return not bool(np.isnan(np.append(present.heard.wind_speed, present.wind_speed)).all())


def standing_in(present: Present) -> tuple[WindAt | None, bool, bool]:
    """Return the first row of the forecast to come where no gauge and no earlier row says what blows before
    it; and of what: of the speed, which is then not known, of the direction, for which it stands in."""
    before, ahead = around_now(present.wind_forecast, present.time)
    speed, come_from = (bool(np.isnan(each[0])) for each in _as_now(present, np.array([present.time])))
    if before is not None or not ahead or not (speed or come_from):
        return None, False, False
    return ahead[0], speed, come_from


def _as_now(present: Present, time: Floats) -> tuple[Floats, Floats]:
    """Return (m,) speed m/s and direction deg true: the mean of the last half hour; in a squall from what
    blows now, fading to that mean."""
    speed, come_from = mean_wind(present)
    above = present.wind_speed - speed
    fade = np.exp(-np.maximum(time - present.time, 0.0) / SQUALL_S)
    if not present.wind_speed > SQUALL * speed:
        return np.full(time.size, speed), np.full(time.size, come_from)
    mean, now = (
        s * np.exp(1j * np.radians(d))
        for s, d in ((speed, come_from), (present.wind_speed, present.wind_from))
    )
    turned = np.degrees(np.angle(mean + (now - mean) * fade)) % 360.0
    return speed + above * fade, turned


def mean_wind(present: Present) -> tuple[float, float]:
    """Return mean speed of the last half hour, and the direction of the mean vector; that of the instant
    where nothing was measured before."""
    heard = present.heard.between(present.time - MEAN_S, present.time)
    speed = np.append(heard.wind_speed, present.wind_speed)
    come_from = np.radians(np.append(heard.wind_from, present.wind_from))
    known = ~np.isnan(speed + come_from)
    if not known.any():
        return present.wind_speed, present.wind_from
    speed, come_from = speed[known], come_from[known]
    east, north = (speed * np.sin(come_from)).mean(), (speed * np.cos(come_from)).mean()
    return float(speed.mean()), float(np.degrees(np.arctan2(east, north)) % 360.0)
