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
from alongside.feeds.raw_values import RawValues
from alongside.forecast.basis import Basis
from alongside.forecast.expected.draws import HOLDS_90
from alongside.forecast.expected.tide import WEATHER_MOST
from alongside.forecast.expected.wind import SPEED
from alongside.forecast.tide.stand_in import Tide
from alongside.mechanics.rope_spread import LEAST_FACTOR, with_other_ropes
from alongside.readings import Floats
from alongside.reports.batch.outcome import Draw
from alongside.stay.model import Line, Stay

TIME_S: Final = 600.0
"""Standard deviation of the time of high and low water. Common practice, no source."""
WATER: Final = ("tide", "depth")


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


def stay_of(stay: Stay, draw: Draw) -> Stay:
    """Return the stay with ropes, lines and water as drawn; without load cells, since their loads are those
    of the stay as it was."""
    water = Water(stay, draw)
    other = with_other_ropes(stay, draw.stiffness)
    feeds = tuple(
        replace(feed, channels=tuple(s for s in feed.channels if not s.channel.startswith("tension.")))
        for feed in stay.feeds
    )
    lines = tuple(_line(line, draw.tension, water) for line in other.lines)
    return replace(other, lines=lines, feeds=feeds)


def _line(line: Line, tension: float, water: "Water") -> Line:
    fast = line.made_fast
    factor = max(1.0 + tension * fast.tension_band, LEAST_FACTOR)
    tide = None if fast.tide is None else fast.tide + float(water.more(np.array([fast.at]))[0])
    return replace(line, made_fast=replace(fast, tension_kn=fast.tension_kn * factor, tide=tide))


class Water:
    """By how much the water of a draw is higher than that of the stay."""

    def __init__(self, stay: Stay, draw: Draw) -> None:
        self._draw, self._tide = draw, Tide.of(stay)

    def more(self, time: Floats) -> Floats:
        """Return metres (n,) at UNIX s (n,); outside a table of high and low waters only the height is
        another."""
        higher = np.full(time.shape, self._draw.tide_m)
        if self._tide is None or not time.size:
            return higher
        later = self._tide.at(time - self._draw.tide_s) - self._tide.at(time)
        return np.asarray(higher + np.where(np.isnan(later), 0.0, later), dtype=np.float64)


class DrawnStaging:
    """What a draw changes that is not in the log, see `alongside.runtime.log_player.Staging`."""

    edges: tuple[float, ...] = ()

    def __init__(self, basis: Basis, draw: Draw) -> None:
        """`basis` is that of the stay as drawn."""
        self._basis, self._draw = basis, draw
        self._water = Water(basis.stay, draw)

    def basis_at(self, _time: float) -> Basis:
        return self._basis

    def turned(self, _after: float, _upto: float, memory: Memory) -> tuple[Memory, tuple[Event, ...]]:
        return memory, ()

    def spoiler(self) -> Spoil:
        def spoil(samples: RawValues, time: Floats, raw: Floats) -> tuple[Floats, Floats]:
            source = samples.source
            if source.channel in WATER and time.size:
                return time, raw + self._water.more(time) / source.scale
            if source.channel == "wind_speed":
                speed = (raw * source.scale + source.offset) * self._draw.wind_factor
                return time, (speed - source.offset) / source.scale
            return time, raw

        return spoil

    def hears_from(self, time: float) -> float:
        return time
