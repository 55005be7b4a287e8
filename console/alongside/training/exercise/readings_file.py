"""Readings by hand and forecasts of wind as the actions of an exercise hold them."""

from collections.abc import Mapping
from math import isfinite
from typing import Any, Final

from alongside.errors import WrongInput
from alongside.readings import READ_BY_HAND
from alongside.wording.typed_reading import WAYS, check_reading

READINGS: Final = "values"
"""Field of a reading: an object of channels and values."""


def readings_of(values: Mapping[str, float]) -> tuple[tuple[str, float], ...]:
    """Return readings as an action has them."""
    return tuple((channel, float(value)) for channel, value in values.items())


def check_readings(given: Mapping[str, Any]) -> None:
    """Raise ValueError for what nobody can have read, or no forecast says."""
    known = (*READ_BY_HAND, "under_keel")
    for channel, value in given.get(READINGS, {}).items():
        if channel not in known:
            raise ValueError(
                f"{READINGS}: {channel!r} is not read by hand, expected one of {', '.join(known)}"
            )
        try:
            check_reading(channel, value, channel)
        except WrongInput as error:
            raise ValueError(f"{READINGS}: {error}") from error
    if given.get("way", WAYS[0]) not in WAYS:
        raise ValueError(f"way: {given['way']!r}, expected {', '.join(WAYS)}")
    if not 0.0 <= given.get("from_deg", 0.0) <= 360.0:
        raise ValueError(f"from_deg: {given['from_deg']:g}, expected 0 to 360")
    for key in ("waves_m", "mean_ms", "gust_ms"):
        if not (isfinite(given.get(key, 0.0)) and given.get(key, 0.0) >= 0.0):
            raise ValueError(f"{key}: {given[key]:g}, expected 0 or more")
