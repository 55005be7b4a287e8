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
    """Return a value that was read in the unit of the screen: `9.70 m`, `25 kn`, `1.0° port`."""
    if channel == "heel":
        return f"{degrees(abs(value), 1)} {'port' if value < 0.0 else 'stbd'}"
    if channel == "wind_speed":
        return speed_text(value, display)
    if channel == "wind_from":
        return bearing(value)
    return degrees(value, 1) if unit_of(channel) == "deg" else metres(value)


def apart_words(channel: str, off: float, other: str, display: Display) -> str:
    """Return `draught F 0.12 m above the gauge`, `heel 0.5° to port of the gauge`: how far a reading is off
    another figure."""
    name = channel_words(channel, short=True)
    if channel == "heel":
        return f"{name} {degrees(abs(off), 1)} to {'starboard' if off >= 0.0 else 'port'} of {other}"
    return f"{name} {hand_value(channel, abs(off), display)} {'above' if off >= 0.0 else 'below'} {other}"


def unit_of(channel: str) -> str:
    """Return the unit of a channel; the water under her keel is in m."""
    return KINDS[channel].unit if channel in KINDS else "m"


def reading_text(channel: str, value: float, at: float, way: str, display: Display) -> str:
    """Return `draught forward 9.70 m at 06:30 from the quay`."""
    how = "" if channel.startswith("wind") else f" {WAYS.get(way, way)}"
    return f"{channel_words(channel)} {hand_value(channel, value, display)} at {clock(at, display)}{how}"


def forecast_text(at: float, mean_ms: float, gust_ms: float, from_deg: float, display: Display) -> str:
    """Return `25 kn, gusts 35 kn, from 210° at 18:00`; the mean is that of 30 s."""
    return f"{forecast_words(mean_ms, gust_ms, from_deg, display)} at {clock(at, display)}"


def forecast_words(mean_ms: float, gust_ms: float, from_deg: float, display: Display) -> str:
    """Return `25 kn, gusts 35 kn, from 210°`; no gusts where none were given."""
    gusts = f", gusts {speed_text(gust_ms, display)}," if gust_ms > 0.0 else ""
    return f"{speed_text(mean_ms, display)}{gusts} from {bearing(from_deg)}"
