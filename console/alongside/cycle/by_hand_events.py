"""Readings by hand, forecasts of the wind and what is taken back of them as events, in words."""

from collections.abc import Iterator, Sequence

from alongside.actions import Action, Correct, ForecastWind, ReadByHand
from alongside.alerts.model import Event
from alongside.cycle.plausibility.by_hand import (
    HandReading,
    HandReadings,
    new_readings,
    readings_after,
    taken_back,
)
from alongside.forecast.expected.wind_forecast import WIND_FORECAST, WindForecast, forecast_after
from alongside.stay.model import Display
from alongside.wording.by_hand import forecast_text, reading_text


def reading_events(
    readings: HandReadings, now: float, actions: Sequence[Action], display: Display
) -> Iterator[Event]:
    """Yield one event `reading` a value that was read by hand, or taken back, at the instant `now` at which
    it takes effect. What was said before in the same words is no news."""
    for action in actions:
        if isinstance(action, ReadByHand):
            for reading in new_readings(readings, action):
                yield _event(reading, now, "Read by hand", action.by, display)
        elif isinstance(action, Correct):
            for reading in taken_back(readings, action.channel):
                yield _event(reading, now, "Reading taken back", action.by, display)
        readings = readings_after(readings, [action])


def forecast_events(
    forecast: WindForecast, now: float, actions: Sequence[Action], display: Display
) -> Iterator[Event]:
    """Yield a note on each forecast of the wind that is entered, or taken back, at the instant `now`."""
    for action in actions:
        after = forecast_after(forecast, [action], now)
        what, each = "", None
        if isinstance(action, ForecastWind) and len(after) >= len(forecast) and after != forecast:
            what, each = "Wind forecast", after[-1]
        elif isinstance(action, Correct) and action.channel == WIND_FORECAST and forecast:
            what, each = "Wind forecast taken back", forecast[-1]
        if each is not None:
            text = forecast_text(each.at, each.mean_ms, each.gust_ms, each.from_deg, display)
            yield Event(now, "note", subject=WIND_FORECAST, text=_by(f"{what}: {text}", action.by))
        forecast = after


def _event(reading: HandReading, now: float, what: str, by: str, display: Display) -> Event:
    text = reading_text(reading.channel, reading.value, reading.at, reading.way, display)
    text = _by(f"{what}: {text}", by)
    return Event(now, "reading", subject=reading.channel, value=reading.value, text=text)


def _by(text: str, by: str) -> str:
    return f"{text} ({by})" if by else text
