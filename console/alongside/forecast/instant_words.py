"""For which moment, and in which wind, a question was answered: an answer on paper outlives both."""

from math import isfinite

from alongside.forecast.present import Present
from alongside.stay.model import Stay
from alongside.wording.figures import bearing, speed_text
from alongside.wording.times import DayClock


def instant_words(stay: Stay, present: Present) -> str:
    """Return when, and in which wind: `2026-09-12 06:30 +0100, wind 35 kn from 280°`."""
    return f"{_time(stay, present)}, {_wind(stay, present)}"


def asked_for(stay: Stay, present: Present) -> str:
    """Return the same as a sentence; where nothing was measured it names the plan."""
    plan = " by the plan" if present.planned else ""
    return f"Asked for {_time(stay, present)}{plan}, {_wind(stay, present)}."


def _time(stay: Stay, present: Present) -> str:
    return DayClock(stay.display, present.time).whole(present.time)


def _wind(stay: Stay, present: Present) -> str:
    if not isfinite(present.wind_speed + present.wind_from):
        return "wind not known: as in a calm"
    if present.wind_speed <= 0.0:
        return "in a calm"
    return f"wind {speed_text(present.wind_speed, stay.display)} from {bearing(present.wind_from)}"
