"""The zone in which times are shown."""

from datetime import UTC, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo

from alongside.stay.model import Display


def zone_of(display: Display) -> tzinfo:
    """The zone of a display: a fixed offset such as `+02:00`, or an IANA name."""
    text = display.zone
    if text[:1] in "+-" and len(text) == 6:
        size = timedelta(hours=int(text[1:3]), minutes=int(text[4:6]))
        return timezone(size if text[0] == "+" else -size)
    return UTC if text in ("Z", "UTC") else ZoneInfo(text)
