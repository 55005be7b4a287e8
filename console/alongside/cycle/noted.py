"""What a person said to the watch, as events; deeds on lines make theirs where they are done."""

from collections.abc import Sequence

from alongside.actions import Action, CallOut, JudgeChannel, Note
from alongside.alerts.model import Event
from alongside.cycle.by_hand_events import forecast_events, reading_events
from alongside.cycle.plausibility.by_hand import HandReadings
from alongside.forecast.expected.wind_forecast import WindForecast
from alongside.stay.model import Display
from alongside.wording.actions import called_words
from alongside.wording.names import channel as channel_words


def noted(
    display: Display, by_hand: HandReadings, forecast: WindForecast, now: float, actions: Sequence[Action]
) -> tuple[Event, ...]:
    """Return the events of what was read, forecast, noted and looked at now; `by_hand` and
    `forecast` are what stood before."""
    events = (_event(now, action) for action in actions)
    return (
        *reading_events(by_hand, now, actions, display),
        *forecast_events(forecast, now, actions, display),
        *(event for event in events if event is not None),
    )


def _event(now: float, action: Action) -> Event | None:
    if isinstance(action, Note):
        return Event(now, "note", text=f"{action.text} ({action.by})" if action.by else action.text)
    if isinstance(action, CallOut):
        words = called_words(action)
        by = f" ({action.by})" if action.by else ""
        return Event(now, "note", text=f"Called: {words}{by}")
    if isinstance(action, JudgeChannel):
        right = "right" if action.right == "gauge" else "wrong"
        by = f" ({action.by})" if action.by else ""
        text = f"Looked: gauge {channel_words(action.channel)} is {right}{by}"
        return Event(now, "accepted", subject=action.channel, text=text)
    return None
