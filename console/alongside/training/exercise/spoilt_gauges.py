"""Raw values changed before anything checks them: gauges that fail, water and wind that come.

Both enter where a gauge does: checks, means and alerts cannot tell an exercise from a stay.
"""

from collections.abc import Callable, Sequence
from math import ceil
from typing import Final

import numpy as np

from alongside.feeds.raw_values import RawValues
from alongside.readings import Floats
from alongside.stay.heading import ship_heading
from alongside.stay.model import GaugeFault
from alongside.training.exercise.cargo import Shift, draught_shift
from alongside.training.exercise.model import CargoRate, Exercise, Gust, Injection, TideSurge
from alongside.training.gauge_faults import FaultyValues, lasts
from alongside.training.other_weather import AS_RECORDED, BY_WEATHER, WeatherSpoil

PULSE_S: Final = 7.0
PULSE: Final = 0.08
"""A gust is not steady: it falls off by this part of its speed and comes back every few seconds."""
RISE: Final = 0.2
"""Share of a gust's time in which it comes up, and in which it goes."""

Spoiling = Callable[[RawValues, Floats, Floats], tuple[Floats, Floats]]


class Spoiler:
    """Spoils raw values for one intake. They must come in order of time."""

    def __init__(self, exercise: Exercise) -> None:
        self._heading = ship_heading(exercise.stay)
        self._by_channel: dict[str, list[Spoiling]] = {}
        if exercise.weather != AS_RECORDED:
            weather = WeatherSpoil(exercise.stay, exercise.weather)
            for channel in BY_WEATHER:
                self._add(channel, weather)
        rates = [each for each in exercise.injections if isinstance(each, CargoRate)]
        shifts = draught_shift(exercise.stay, rates, exercise.end) if rates else {}
        for channel, shift in shifts.items():
            self._add(channel, _shifted(shift))
        # Water and wind first: a gauge that fails shows what it makes of them.
        for injection in sorted(exercise.injections, key=lambda each: isinstance(each, GaugeFault)):
            self._set_up(exercise, injection)

    def __call__(self, samples: RawValues, time: Floats, raw: Floats) -> tuple[Floats, Floats]:
        for spoiling in self._by_channel.get(samples.source.channel, ()) if time.size else ():
            time, raw = spoiling(samples, time, raw)
        return time, raw

    def _set_up(self, exercise: Exercise, injection: Injection) -> None:
        match injection:
            case TideSurge():
                for channel in ("tide", "depth"):
                    self._add(channel, _shifted(lambda time: surge_at(injection, time)))
            case Gust():
                self._add("wind_speed", _blown(injection))
                if injection.from_deg is not None:
                    self._add("wind_from", _veered(injection, self._heading))
            case GaugeFault():
                self._add(injection.channel, _Failing(injection))

    def _add(self, channel: str, spoiling: Spoiling) -> None:
        self._by_channel.setdefault(channel, []).append(spoiling)


def surge_at(surge: TideSurge, time: Floats) -> Floats:
    """Return by how many metres the water is higher: up and down once, as a raised cosine."""
    share = np.clip((time - surge.at) / surge.seconds, 0.0, 1.0)
    height: Floats = surge.metres * (1.0 - np.cos(2.0 * np.pi * share)) / 2.0
    return height


def gust_at(gust: Gust, time: Floats) -> tuple[Floats, Floats]:
    """Return the speed of the gust, m/s, and how far the wind has come round to it, 0 to 1."""
    share = (time - gust.at) / gust.seconds
    grown = np.clip(np.minimum(share, 1.0 - share) / RISE, 0.0, 1.0)
    pulse = 1.0 - PULSE * (1.0 - np.cos(2.0 * np.pi * (time - gust.at) / PULSE_S)) / 2.0
    return gust.speed_ms * grown * pulse, grown


def _shifted(shift: Shift) -> Spoiling:
    """Add what `shift` gives; where that is 0 the raw value stays as it is, to the last bit."""

    def spoil(samples: RawValues, time: Floats, raw: Floats) -> tuple[Floats, Floats]:
        more = shift(time)
        return time, np.where(more == 0.0, raw, raw + more / samples.source.scale)

    return spoil


def _blown(gust: Gust) -> Spoiling:
    """The wind is the gust where that is stronger."""

    def spoil(samples: RawValues, time: Floats, raw: Floats) -> tuple[Floats, Floats]:
        source = samples.source
        speed, _ = gust_at(gust, time)
        stronger = speed > raw * source.scale + source.offset
        return time, np.where(stronger, (speed - source.offset) / source.scale, raw)

    return spoil


def _veered(gust: Gust, heading: float) -> Spoiling:
    """The wind comes round to the gust's direction, the shorter way."""
    assert gust.from_deg is not None, "asked for only then"
    true = gust.from_deg

    def spoil(samples: RawValues, time: Floats, raw: Floats) -> tuple[Floats, Floats]:
        source = samples.source
        _, grown = gust_at(gust, time)
        measured = raw * source.scale + source.offset
        wanted = true - heading if samples.off_the_bow else true
        turn = (wanted - measured + 180.0) % 360.0 - 180.0
        turned = (measured + grown * turn) % 360.0
        return time, np.where(grown > 0.0, (turned - source.offset) / source.scale, raw)

    return spoil


class _Failing:
    """A gauge that fails for a while."""

    def __init__(self, fault: GaugeFault) -> None:
        self._fault = fault
        self._values: FaultyValues | None = None

    def __call__(self, samples: RawValues, time: Floats, raw: Floats) -> tuple[Floats, Floats]:
        if self._fault.kind == "silent":
            heard = ~lasts(self._fault, time)
            return time[heard], raw[heard]
        if self._values is None:
            self._values = FaultyValues(self._fault, samples.source.scale, samples.source.offset)
        return time, self._values.shown(time, raw)


LEAD_S: Final = 120.0
"""An intake hears a gauge for this long before it fails, to know its last value."""


def hears_from(injections: Sequence[Injection], time: float) -> float:
    """Return from when a log must be heard so that gauges fail at `time` as they would have."""
    failing = [each.at for each in injections if isinstance(each, GaugeFault) and each.at <= time < each.end]
    return min([time, *(float(ceil(at - LEAD_S)) for at in failing)])
