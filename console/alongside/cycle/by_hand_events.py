"""Readings by hand and their corrections as events, in words."""

from collections.abc import Iterator, Sequence

from alongside.actions import Action, Correct, ReadByHand
from alongside.alerts.model import Event
from alongside.cycle.plausibility.by_hand import (
    HandReading,
    HandReadings,
    new_readings,
    readings_after,
    taken_back,
)
from alongside.stay.model import Display
from alongside.wording.by_hand import reading_text


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


def _event(reading: HandReading, now: float, what: str, by: str, display: Display) -> Event:
    text = reading_text(reading.channel, reading.value, reading.at, reading.way, display)
    text = f"{what}: {text} ({by})" if by else f"{what}: {text}"
    return Event(now, "reading", subject=reading.channel, value=reading.value, text=text)
