"""How a forecast of the wind is typed: `25`, `25 kn`, `13 m/s`; mean over 10 min, as forecasts give it, or
over 30 s; `25 gust 35 from 210` in one."""

import re
from typing import Final

from alongside.actions import ForecastWind
from alongside.errors import WrongInput
from alongside.stay.model import Display
from alongside.stay.wind_means import OVER
from alongside.units import KNOT
from alongside.wording.safe import safe
from alongside.wording.times import clock
from alongside.wording.typed_reading import number
from alongside.wording.typed_times import moments, time_of_day, times_of_day, within

MOST_MS: Final = 75.0
PAST_S: Final = 6 * 3600.0
"""A forecast for a time so long gone may still be entered."""
DAY_S: Final = 24 * 3600.0
AHEAD_S: Final = 10 * DAY_S
_NUMBER: Final = r"[0-9]+(?:[.,][0-9]*)?"
_SPEED: Final = re.compile(rf"({_NUMBER})\s*(kn|m/s)?", re.IGNORECASE)
_FROM: Final = re.compile(r"([0-9]{1,3})\s*(?:deg|°)?", re.IGNORECASE)
_WHOLE: Final = re.compile(
    rf"(?P<mean>{_NUMBER}\s*(?:kn|m/s)?)(?:\s+gusts?\s+(?P<gust>{_NUMBER}\s*(?:kn|m/s)?))?"
    r"\s+from\s+(?P<come>[0-9]{1,3})(?:\s+(?:over|mean)\s+(?P<over>.+))?",
    re.IGNORECASE,
)
EXAMPLE: Final = "25 gust 35 from 210"


def typed_speed(text: str, display: Display, what: str) -> float:
    """Return a speed in m/s; without a unit it is in that of the screen. Raise WrongInput with what was
    expected."""
    typed = _SPEED.fullmatch(text.strip())
    if typed is None:
        raise WrongInput(f"{what} {safe(text)!r}, expected a speed such as 25, 25 kn or 13 m/s")
    unit = (typed[2] or display.speed).lower()
    speed = number(typed[1]) * (1.0 if unit == "m/s" else KNOT)
    if speed > MOST_MS:
        most = f"{MOST_MS / KNOT:.0f} kn, which is {MOST_MS:g} m/s"
        raise WrongInput(f"{what} {safe(text.strip())} is not possible, expected at most {most}")
    return speed


def typed_from(text: str) -> float:
    """Return a direction, deg true. Raise WrongInput with what was expected."""
    typed = _FROM.fullmatch(text.strip())
    if typed is None or int(typed[1]) > 360:
        raise WrongInput(f"from {safe(text)!r}, expected a true direction such as 210")
    return float(typed[1]) % 360.0


def typed_over(text: str) -> float:
    """Return by what a mean is multiplied to be one of 30 s. Raise WrongInput with what was expected."""
    plain = " ".join(text.lower().split()).replace("10min", "10 min").replace("30s", "30 s")
    if plain not in OVER:
        raise WrongInput(f"mean over {safe(text)!r}, expected {' or '.join(OVER)}")
    return OVER[plain]


def forecast_time(text: str, now: float, display: Display) -> float:
    """Return for when a forecast is, UNIX seconds: the next such time of day, or one just gone; or a date and
    time within ten days. Raise WrongInput with what was expected."""
    text = text.strip()
    if text.lower() in ("", "now"):
        return now
    of_day = time_of_day(text)
    try:
        if of_day:
            times = times_of_day(of_day, display, [(now - 900.0, now + DAY_S)])[:1]
        else:
            times = within(moments(text, display), [(now - PAST_S, now + AHEAD_S)])
    except ValueError:
        raise WrongInput(f"{safe(text)!r}, expected a time such as 18:00, or 2026-03-02 18:00") from None
    if not times:
        raise WrongInput(f"{safe(text)} is past or too far, expected a time from {clock(now, display)} on")
    return times[0]


def forecast_of(
    at: float, mean: str, gust: str, come_from: str, over: str, by: str, display: Display
) -> ForecastWind:
    """Return a forecast from its parts as they are typed; no gust is none. Raise WrongInput with what was
    expected."""
    steady = typed_speed(mean, display, "mean")
    gusts = typed_speed(gust, display, "gust") if gust.strip() else 0.0
    if gust.strip() and gusts < steady:
        raise WrongInput(f"gust {safe(gust.strip())} is below the mean {safe(mean.strip())}, expected more")
    return ForecastWind(at, steady * typed_over(over), gusts, typed_from(come_from), by)


def typed_forecast(text: str, at: float, by: str, display: Display) -> ForecastWind:
    """Return the forecast of one text, `25 gust 35 from 210`, its mean over 10 min unless it says `over
    30 s`. Raise WrongInput with what was expected."""
    typed = _WHOLE.fullmatch(" ".join(text.split()))
    if typed is None:
        raise WrongInput(f"forecast {safe(text)!r}, expected such as {EXAMPLE}")
    parts = typed["mean"], typed["gust"] or "", typed["come"], typed["over"] or "10 min"
    return forecast_of(at, *parts, by, display)
