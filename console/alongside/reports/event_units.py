"""The unit of what an event compares."""

from collections.abc import Mapping
from typing import Final

from alongside.alerts.model import Event
from alongside.stay.causes import known_cause

SHARE: Final = "share"
UNITS: Final[Mapping[str, str]] = {
    **dict.fromkeys(("stretch", "load", "slack", "brake", "bollard", "holding", "tension"), SHARE),
    **dict.fromkeys(("under_keel", "off_fenders", "drift", "gangway"), "m"),
    "steep": "deg",
    "ahead": "min",
    "decide": "min",
    "feed": "s",
    "clock": "s",
}
"""Of value and limit, by cause; a cause without one has a plain number."""
EVENT_UNITS: Final[Mapping[str, str]] = {"gap": "s", "tended": "m", "note": "m"}
"""Of the value of events that belong to no alert."""


def unit_of(event: Event) -> str | None:
    """Return the unit of an event's value and limit: `share`, `deg`, `m`, `s`, `min`; None for none."""
    if event.value is None:
        return None
    if event.alert is None:
        return EVENT_UNITS.get(event.event)
    if (event.alert, event.subject) in (("gangway", "slope"), ("drift", "yaw_range")):
        return "deg"
    return UNITS.get(known_cause(event.alert) or event.alert)
