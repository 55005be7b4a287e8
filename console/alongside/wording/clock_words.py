"""Hours and minutes as the watch reads them, for sentences."""

from datetime import UTC, datetime, tzinfo
from functools import lru_cache
from math import isfinite
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError


def clock(time: float, zone: str) -> str:
    """Hour and minute of UNIX seconds, in a zone given as a fixed offset or an IANA name; a dash where the
    time is not known."""
    if not isfinite(time):
        return "—"
    return f"{datetime.fromtimestamp(time, _zone(zone)):%H:%M}"


@lru_cache(maxsize=8)
def _zone(name: str) -> tzinfo:
    """UTC for a name that this machine does not know; the stay file's check has said so before."""
    try:
        return datetime.strptime(name, "%z").tzinfo or UTC
    except ValueError:
        pass  # no fixed offset
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):
        return UTC
