"""Other weather than that of a recorded stay: water and wind, changed where a gauge brings them in, before
anything checks them, so that nothing can tell it from what was recorded."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.feeds.raw_values import RawValues
from alongside.forecast.tide.stand_in import Tide
from alongside.readings import Floats
from alongside.stay.model import Stay

WATER: Final = ("tide", "depth")
"""Channels that rise with the water."""
BY_WEATHER: Final = (*WATER, "wind_speed", "wind_from")
DAY_S: Final = 89_400.0
"""24 h 50 min, over which the middle of the tide is taken."""
EVERY_S: Final = 600.0


@dataclass(frozen=True, slots=True)
class OtherWeather:
    """By how much weather is another for the whole of a stay: the water higher by `tide_m`, high and low
    water later by `tide_s`, their range so many times as large; the wind so many times as strong, and from
    further to the right by `wind_deg`."""

    tide_m: float = 0.0
    tide_s: float = 0.0
    tide_range: float = 1.0
    wind_factor: float = 1.0
    wind_deg: float = 0.0


AS_RECORDED: Final = OtherWeather()


class Water:
    """By how much the water is higher than that of the stay."""

    def __init__(self, stay: Stay, weather: OtherWeather) -> None:
        self._weather, self._tide = weather, Tide.of(stay)
        self._middle = _middle(self._tide, stay) if weather.tide_range != 1.0 else 0.0

    def more(self, time: Floats) -> Floats:
        """Return metres (n,) at UNIX s (n,); outside a table of high and low waters only the height is
        another."""
        higher = np.full(time.shape, self._weather.tide_m)
        if self._tide is None or not time.size:
            return higher
        later = self._tide.at(time - self._weather.tide_s)
        more = later - self._tide.at(time) + (self._weather.tide_range - 1.0) * (later - self._middle)
        return np.asarray(higher + np.where(np.isnan(more), 0.0, more), dtype=np.float64)


def _middle(tide: Tide | None, stay: Stay) -> float:
    """Return the mean level of the first day, m; NaN where there is no tide."""
    if tide is None:
        return np.nan
    begin = min(line.made_fast.at for line in stay.lines)
    level = tide.at(begin + np.arange(0.0, DAY_S, EVERY_S))
    return float(level[~np.isnan(level)].mean()) if (~np.isnan(level)).any() else np.nan


def with_other_water(stay: Stay, weather: OtherWeather) -> Stay:
    """Return a stay whose lines were made fast on the other water, where their tide is stated."""
    water = Water(stay, weather)
    lines = []
    for line in stay.lines:
        fast = line.made_fast
        if fast.tide is not None:
            fast = replace(fast, tide=fast.tide + float(water.more(np.array([fast.at]))[0]))
        lines.append(replace(line, made_fast=fast))
    return replace(stay, lines=tuple(lines))


def with_other_wind(stay: Stay, weather: OtherWeather) -> Stay:
    """Return a stay whose wind forecast is another as the wind is."""
    forecast = tuple(
        replace(
            each,
            mean_ms=each.mean_ms * weather.wind_factor,
            gust_ms=each.gust_ms * weather.wind_factor,
            from_deg=(each.from_deg + weather.wind_deg) % 360.0,
        )
        for each in stay.wind_forecast
    )
    return replace(stay, wind_forecast=forecast)


class WeatherSpoil:
    """Changes raw values of the gauges of water and wind."""

    def __init__(self, stay: Stay, weather: OtherWeather) -> None:
        self._weather, self._water = weather, Water(stay, weather)

    def __call__(self, samples: RawValues, time: Floats, raw: Floats) -> tuple[Floats, Floats]:
        source, weather = samples.source, self._weather
        if source.channel in WATER and time.size:
            return time, raw + self._water.more(time) / source.scale
        if source.channel == "wind_speed" and weather.wind_factor != 1.0:
            speed = (raw * source.scale + source.offset) * weather.wind_factor
            return time, (speed - source.offset) / source.scale
        if source.channel == "wind_from" and weather.wind_deg:
            turned = (raw * source.scale + source.offset + weather.wind_deg) % 360.0
            return time, (turned - source.offset) / source.scale
        return time, raw
