"""Readings by hand in words: `draught forward 9.70 m at 06:30 from the quay`."""

from typing import Final

from alongside.stay.channels import KINDS
from alongside.stay.model import Display
from alongside.wording.figures import bearing, degrees, metres, speed_text
from alongside.wording.names import channel as channel_words
from alongside.wording.times import clock

WAYS: Final = {"quay": "from the quay", "boat": "from a boat", "waves": "in waves", "stated": "stay file"}
"""How something was read, by `ReadByHand.way`."""


def by_hand_words(at: float, display: Display) -> str:
    """Return `by hand 06:30`."""
    return f"by hand {clock(at, display)}"


def hand_value(channel: str, value: float, display: Display) -> str:
    """Return a value that was read in the unit of the screen: `9.70 m`, `25 kn`."""
    if channel == "wind_speed":
        return speed_text(value, display)
    if channel == "wind_from":
        return bearing(value)
    return degrees(value, 1) if unit_of(channel) == "deg" else metres(value)


def unit_of(channel: str) -> str:
    """Return the unit of a channel; the water under her keel is in m."""
    return KINDS[channel].unit if channel in KINDS else "m"


def reading_text(channel: str, value: float, at: float, way: str, display: Display) -> str:
    """Return `draught forward 9.70 m at 06:30 from the quay`."""
    how = "" if channel.startswith("wind") else f" {WAYS.get(way, way)}"
    name = "under keel" if channel == "under_keel" else channel_words(channel)
    return f"{name} {hand_value(channel, value, display)} at {clock(at, display)}{how}"
