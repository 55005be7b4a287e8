"""Units. Inside the program everything is metres, kilonewtons, seconds and radians unless a name says
otherwise (`_deg`, `_pct`, `_kn` for kilonewtons, `_knots`); conversion happens only at the edges."""

from datetime import UTC, date, datetime
from typing import Final

G: Final = 9.80665
"""Standard acceleration of gravity, m/s2 (ISO 80000-3); also kN in one tonne-force."""

KNOT: Final = 1852.0 / 3600.0
"""Metres per second in one knot (international nautical mile)."""

SEA_WATER: Final = 1025.0
"""Density of sea water, kg/m3, as mooring guidelines take it."""

AIR: Final = 1.224
"""Density of air, kg/m3, at 15 degC and sea level."""


FIRST_TIME: Final = 631_152_000.0
"""1990-01-01T00:00:00Z, UNIX seconds. No ship is watched before it: a clock that shows less was never set."""

END_OF_TIME: Final = 4_102_444_800.0
"""2100-01-01T00:00:00Z, UNIX seconds."""

TIME_EXPECTED: Final = "a time such as 2026-03-02T04:10:00Z, with its zone, of 1990 to 2099"


def tonnes_force(kn: float) -> float:
    """Return kilonewtons as tonnes-force."""
    return kn / G


def knots(ms: float) -> float:
    """Return metres per second as knots."""
    return ms / KNOT


def is_time(seconds: float) -> bool:
    """Return True for UNIX seconds of 1990 to 2099; False for NaN. Anything else comes from a clock that was
    never set or from a slip, and is no time."""
    return FIRST_TIME <= seconds < END_OF_TIME


def unix_time(text: str) -> float:
    """Return seconds since 1970-01-01 of an ISO 8601 time that bears its own zone (`Z` or `+02:00`).

    Raises ValueError for anything else, a time without a zone included: a stay is kept in UTC, and a
    time of unstated zone cannot be placed in it. So it does for a time that `is_time` refuses.
    """
    moment = datetime.fromisoformat(text)
    if moment.tzinfo is None:
        raise ValueError(f"time without a zone: {text!r}")
    seconds = moment.timestamp()
    if not is_time(seconds):
        raise ValueError(f"not of 1990 to 2099: {text!r}")
    return seconds


def iso_time(seconds: float) -> str:
    """Return ISO 8601 UTC of UNIX seconds, `2026-03-02T04:10:00Z`; milliseconds only where there are any."""
    millis = round(seconds * 1000.0)
    moment = datetime.fromtimestamp(millis // 1000, UTC)
    fraction = f".{millis % 1000:03d}" if millis % 1000 else ""
    return f"{moment:%Y-%m-%dT%H:%M:%S}{fraction}Z"


def utc_day(seconds: float) -> date:
    """Return the day, in UTC, of UNIX seconds."""
    return datetime.fromtimestamp(seconds, UTC).date()
