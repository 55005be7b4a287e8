"""The wind of a weather forecast, as somebody has typed it: what of it stands, and what blows by it when."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Final

import numpy as np

from alongside.actions import Action, Correct, ForecastWind
from alongside.readings import Floats
from alongside.stay.model import Stay
from alongside.stay.wind_means import GUST

WIND_FORECAST: Final = "wind_forecast"
"""`Correct.channel` of the last forecast."""
SERVES_S: Final = 6 * 3600.0
"""So long after its time the last forecast serves where nothing is measured. Common practice, no source."""
FORGOTTEN_S: Final = 24 * 3600.0
KEPT: Final = 100
OF_FILE: Final = "stay file"
"""Stands for the initials of who entered it."""


@dataclass(frozen=True, slots=True)
class WindAt:
    """What is forecast from a time on: 30 s mean and 3 s gust, m/s (0: none was given), deg true from where;
    who entered it, and when."""

    at: float
    mean_ms: float
    gust_ms: float
    from_deg: float
    by: str
    entered: float

    @property
    def speed_ms(self) -> float:
        """Return the 30 s mean that counts: 0.87 of the gust where that is more."""
        return max(self.mean_ms, GUST * self.gust_ms)


WindForecast = tuple[WindAt, ...]
"""In the order in which they were entered."""


def forecast_after(forecast: WindForecast, actions: Sequence[Action], now: float) -> WindForecast:
    """Return the forecast once the watch has entered one, or taken the last back, at an instant."""
    for action in actions:
        if isinstance(action, ForecastWind):
            figures = action.at, action.mean_ms, action.gust_ms, action.from_deg
            new = WindAt(*figures, action.by, now)
            if new not in forecast:
                forecast = (*forecast, new)[-KEPT:]
        elif isinstance(action, Correct) and action.channel == WIND_FORECAST:
            forecast = forecast[:-1]
    if any(each.at < now - FORGOTTEN_S for each in forecast):
        forecast = tuple(each for each in forecast if each.at >= now - FORGOTTEN_S)
    return forecast


def known_forecast(stay: Stay, typed: WindForecast, now: float) -> WindForecast:
    """Return what is known at an instant, in the order in which it came to be: of the stay file what was
    issued by then, a later issue from its first time on in the place of those before it, and what was
    `typed`."""
    of_file: list[WindAt] = []
    for issued in sorted({each.issued for each in stay.wind_forecast if each.issued <= now}):
        rows = [each for each in stay.wind_forecast if each.issued == issued]
        of_file = [each for each in of_file if each.at < rows[0].at]
        of_file += [
            WindAt(each.at, each.mean_ms, each.gust_ms, each.from_deg, OF_FILE, issued)
            for each in rows
            if each.at >= now - FORGOTTEN_S
        ]
    return tuple(sorted((*of_file, *typed), key=lambda each: each.entered)) if of_file else typed


def standing(forecast: WindForecast) -> list[WindAt]:
    """Return what stands, by time: of one time what was entered last."""
    return sorted({each.at: each for each in forecast}.values(), key=lambda each: each.at)


def by_forecast(
    forecast: WindForecast, now: float, here: tuple[float, float], time: Floats
) -> tuple[Floats, Floats] | None:
    """Return speed, m/s, and direction, deg true, at (m,) instants from `now` on: straight from what blows
    `here` (speed, direction; NaN where not known) to each row in turn, directions by the shorter way round,
    and on as the last row says. Where what blows here is not known, it is straight from the row before now to
    the next; without one before, the first to come stands in. None where no row says anything of the hours to
    come."""
    before, ahead = around_now(forecast, now)
    known = isfinite(here[0]), isfinite(here[1])
    if not ahead and (all(known) or before is None):
        return None
    rows = [(each.at, each.speed_ms, each.from_deg) for each in ([] if before is None else [before]) + ahead]
    speed, come_from = (
        np.array([(now, value), *(row for row in knots if row[0] > now)] if is_known else knots).T
        for value, is_known, knots in (
            (here[0], known[0], [(at, speed) for at, speed, _ in rows]),
            (here[1], known[1], [(at, come_from) for at, _, come_from in rows]),
        )
    )
    turned = np.unwrap(come_from[1], period=360.0)
    return np.interp(time, *speed), np.interp(time, come_from[0], turned) % 360.0


def around_now(forecast: WindForecast, now: float) -> tuple[WindAt | None, list[WindAt]]:
    """Return the row that serves from before now, None for none, and those to come. One with none after it
    serves for so long only."""
    rows = standing(forecast)
    ahead = [each for each in rows if each.at > now]
    before = [each for each in rows if each.at <= now and (ahead or each.at >= now - SERVES_S)]
    return (before[-1] if before else None), ahead
