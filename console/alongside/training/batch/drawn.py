"""Drawn variations of one stay: other water, other wind, lines made fast otherwise, other ropes.

Each draw has one place in the band of each for the whole stay. The bands are those of the look ahead: nobody
knows them better before the ship is there.

tide height  what weather may do to the level, on all gauges of water, and as she was made fast
tide time    minutes by which high and low water come later, only where the stay has a tide that is predicted
wind         a factor on the speed
stiffness    of ropes, and fenders and wind areas that are guesses, at one place in their bands
tension      with which lines were made fast, in its band; lengths follow from it

What enters by a gauge is changed before anything checks it. Draw k of a seed is the same however many
there are.
"""

from dataclasses import replace
from math import exp
from typing import Final

import numpy as np

from alongside.alerts.model import Event
from alongside.cycle.memory import Memory
from alongside.feeds.intake import Spoil
from alongside.forecast.basis import Basis
from alongside.forecast.expected.draws import HOLDS_90
from alongside.forecast.expected.tide import WEATHER_MOST
from alongside.forecast.expected.wind import SPEED
from alongside.mechanics.rope_spread import LEAST_FACTOR, with_other_ropes
from alongside.reports.batch.outcome import Draw
from alongside.stay.model import Line, Stay
from alongside.training.other_weather import OtherWeather, WeatherSpoil, with_other_water

TIME_S: Final = 600.0
"""Standard deviation of the time of high and low water. Common practice, no source."""


def drawn(number: int, seed: int) -> Draw:
    """Return one draw, from 1 on."""
    height, time, wind, stiffness, tension = np.random.default_rng([seed, number]).standard_normal(5).tolist()
    return Draw(
        number=number,
        seed=seed,
        tide_m=WEATHER_MOST / HOLDS_90 * height,
        tide_s=TIME_S * time,
        wind_factor=exp(SPEED[2] * wind),
        stiffness=stiffness / HOLDS_90,
        tension=tension / HOLDS_90,
    )


def weather_of(draw: Draw) -> OtherWeather:
    """Return the weather of a draw."""
    return OtherWeather(tide_m=draw.tide_m, tide_s=draw.tide_s, wind_factor=draw.wind_factor)


def stay_of(stay: Stay, draw: Draw) -> Stay:
    """Return the stay with ropes, lines and water as drawn; without load cells, since their loads are those
    of the stay as it was."""
    other = with_other_water(with_other_ropes(stay, draw.stiffness), weather_of(draw))
    feeds = tuple(
        replace(feed, channels=tuple(s for s in feed.channels if not s.channel.startswith("tension.")))
        for feed in stay.feeds
    )
    lines = tuple(_line(line, draw.tension) for line in other.lines)
    return replace(other, lines=lines, feeds=feeds)


def _line(line: Line, tension: float) -> Line:
    fast = line.made_fast
    factor = max(1.0 + tension * fast.tension_band, LEAST_FACTOR)
    return replace(line, made_fast=replace(fast, tension_kn=fast.tension_kn * factor))


class DrawnStaging:
    """What a draw changes that is not in the log, see `alongside.runtime.log_player.Staging`."""

    edges: tuple[float, ...] = ()

    def __init__(self, basis: Basis, draw: Draw) -> None:
        """`basis` is that of the stay as drawn."""
        self._basis, self._draw = basis, draw

    def basis_at(self, _time: float) -> Basis:
        return self._basis

    def turned(self, _after: float, _upto: float, memory: Memory) -> tuple[Memory, tuple[Event, ...]]:
        return memory, ()

    def spoiler(self) -> Spoil:
        return WeatherSpoil(self._basis.stay, weather_of(self._draw))

    def hears_from(self, time: float) -> float:
        return time
