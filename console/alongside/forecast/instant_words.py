"""For which moment, and in which wind, a question was answered: an answer on paper outlives both."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import isfinite
from typing import Final

from alongside.forecast.present import Present
from alongside.mechanics.situation import Situation
from alongside.stay.model import Stay
from alongside.wording.figures import bearing, speed_text
from alongside.wording.times import DayClock

SOUGHT: Final = "Balance is off in the stay file: sought here all the same, or nothing would move her."


@dataclass(frozen=True, slots=True)
class Instant:
    """A moment that is asked about: UNIX s; whether by the plan alone, nothing measured; its wind, m/s and
    deg true, NaN where not known."""

    time: float
    planned: bool
    wind_speed: float
    wind_from: float

    @classmethod
    def of(cls, present: Present) -> "Instant":
        return cls(present.time, present.planned, present.wind_speed, present.wind_from)

    @classmethod
    def of_plan(cls, here: Situation) -> "Instant":
        """Return the moment of a situation of one row that is planned."""
        return cls(float(here.time[0]), True, float(here.wind_speed[0]), float(here.wind_from[0]))


def instant_words(stay: Stay, instant: Instant) -> str:
    """Return when, and in which wind: `2026-09-12 06:30 +0100, wind 35 kn from 280°`."""
    return f"{_time(stay, instant)}, {_wind(stay, instant)}"


def asked_for(stay: Stay, instant: Instant) -> str:
    """Return the same as a sentence; where nothing was measured it names the plan."""
    plan = " by the plan" if instant.planned else ""
    return f"Asked for {_time(stay, instant)}{plan}, {_wind(stay, instant)}."


def asked_rows(stay: Stay, instant: Instant) -> Iterator[str]:
    """Yield that sentence for a question that seeks her balance, and that it does where the stay file has it
    off."""
    yield asked_for(stay, instant)
    yield from sought_rows(stay)


def sought_rows(stay: Stay) -> Iterator[str]:
    """Yield that the balance is sought where the stay file has it off."""
    if not stay.balance:
        yield SOUGHT


def _time(stay: Stay, instant: Instant) -> str:
    return DayClock(stay.display, instant.time).whole(instant.time)


def _wind(stay: Stay, instant: Instant) -> str:
    if not isfinite(instant.wind_speed + instant.wind_from):
        return "wind not known: as in a calm"
    if instant.wind_speed <= 0.0:
        return "in a calm"
    return f"wind {speed_text(instant.wind_speed, stay.display)} from {bearing(instant.wind_from)}"
