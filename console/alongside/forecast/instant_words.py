"""For which moment, and in which wind, a question was answered, and what the answer leaves open: on paper it
outlives all of that."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Final

from alongside.forecast.present import Present
from alongside.mechanics.situation import Situation
from alongside.stay.model import Stay
from alongside.wording.figures import bearing, speed_text
from alongside.wording.names import without
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

SOUGHT: Final = "Balance is off in the stay file: sought here all the same, or nothing would move her."


@dataclass(frozen=True, slots=True)
class Instant:
    """A moment that is asked about: UNIX s; whether by the plan alone, nothing measured; its wind, m/s and
    deg true, NaN where not known. `brakes`: lines whose brakes are in question, taken to have held;
    `without`: lines that nothing is known of, with why."""

    time: float
    planned: bool
    wind_speed: float
    wind_from: float
    brakes: tuple[str, ...] = ()
    without: tuple[tuple[str, str], ...] = ()

    @classmethod
    def of(cls, lines: Sequence[str], present: Present) -> "Instant":
        """Return the moment of a present whose columns are `lines`."""
        wind = present.wind_speed, present.wind_from
        return cls(present.time, present.planned, *wind, present.asked, present.without(lines))

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


def headed(rows: Sequence[str], instant: Instant) -> list[str]:
    """Return an answer with what it leaves open below its first row."""
    return [*rows[:1], *doubt_rows(instant.brakes, instant.without), *rows[1:]]


def doubt_rows(brakes: Sequence[str], unknown: Sequence[tuple[str, str]]) -> list[str]:
    """Return what an answer leaves open: brakes that are in question, lines that hold nothing in it."""
    rows = []
    if brakes:
        one = len(brakes) == 1
        whose = f"the brake{'' if one else 's'} of line{'' if one else 's'} {', '.join(map(safe, brakes))}"
        rows.append(f"  As if {whose} held: look at {'it' if one else 'them'} first.")
    if unknown:
        rows.append(f"  Without {without(unknown)}.")
    return rows


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
