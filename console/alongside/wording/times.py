"""Times of the place, and lengths of time.

Where the clocks of the place are put on or back, an hour is left out or comes twice. A time within CHANGE_S
of that bears its offset from UTC: `01:30 +0100`, and an hour later `01:30 +0000`.
"""

import re
from collections.abc import Callable
from datetime import UTC, datetime, timezone, tzinfo
from functools import lru_cache
from math import floor, isfinite, nan
from typing import Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from alongside.stay.model import Display
from alongside.units import unix_time
from alongside.wording.marks import NOT_KNOWN

MINUTES_FROM_S: Final = 120
HOURS_FROM_S: Final = 7200
DAYS_FROM_S: Final = 72 * 3600
CHANGE_S: Final = 6 * 3600.0
"""So near to a change of the clocks a time bears its offset. Ours: a watch of four hours and some more."""
_AS_OF: Final = re.compile(r"\bas of (\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d{3})?Z)")


def zone_of(display: Display) -> tzinfo:
    """Return the zone of a display: a fixed offset or an IANA name; UTC where this machine does not know the
    name, as of a record that was written on another."""
    return _zone(display.zone)


@lru_cache(maxsize=8)
def _zone(name: str) -> tzinfo:
    try:
        return datetime.strptime(name, "%z").tzinfo or UTC
    except ValueError:
        pass  # no fixed offset
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):
        return UTC


def local(time: float, display: Display) -> datetime:
    """Return UNIX seconds as a time of the place."""
    return datetime.fromtimestamp(time, zone_of(display))


def changes(begin: float, end: float, display: Display) -> bool:
    """Return True if the clocks of the place are put on or back between two times: their offsets differ."""
    if isinstance(zone_of(display), timezone) or not (isfinite(begin) and isfinite(end)):
        return False
    return local(begin, display).utcoffset() != local(end, display).utcoffset()


def clock(time: float, display: Display, form: str = "%H:%M") -> str:
    """Return a time of the place: `14:20`, near a change of the clocks `01:30 +0100`; a dash where it is not
    known."""
    return bare_clock(time, display, form) + ("" if "%z" in form else offset_beside(time, display))


def bare_clock(time: float, display: Display, form: str = "%H:%M") -> str:
    """Return a time of the place without its offset, which must stand beside it."""
    return format(local(time, display), form) if isfinite(time) else NOT_KNOWN


def offset_beside(time: float, display: Display) -> str:
    """Return what has to stand behind a time of the place so that it says which is meant: ` +0100` near a
    change of the clocks, else nothing."""
    return f"{local(time, display): %z}" if changes(time - CHANGE_S, time + CHANGE_S, display) else ""


def page_clock(begin: float, end: float, display: Display) -> Callable[[float, str], str]:
    """Return how a page about the time between two writes a time in a form: with the offset in all of them
    where the clocks of the place change within."""
    offset = " %z" if changes(begin, end, display) else ""
    return lambda time, form: clock(time, display, f"{form}{offset}")


class DayClock:
    """Times of the place about one day: hour and minute, with the date where it is another day, with the
    offset near a change of the clocks and where they changed since `begin`."""

    def __init__(self, display: Display, begin: float) -> None:
        self.display, self._begin = display, begin
        self._day = local(begin, display).date() if isfinite(begin) else None

    def __call__(self, time: float) -> str:
        """Return `14:20` or `21 Mar 02:05`; a dash where it is not known."""
        if not isfinite(time):
            return NOT_KNOWN
        day = "" if local(time, self.display).date() == self._day else "%d %b "
        offset = " %z" if changes(self._begin, time, self.display) else ""
        return clock(time, self.display, f"{day}%H:%M{offset}")

    def whole(self, time: float) -> str:
        """Return date, time and offset: `2026-03-20 14:20 +0100`."""
        return clock(time, self.display, "%Y-%m-%d %H:%M %z")


def placed(text: str, display: Display, beside: float) -> str:
    """Return the words of an event at a time with `as of 2026-11-29T04:49:03Z` in them by the clock of the
    place: `as of 05:49`. On record such a time is UTC, whatever the display."""
    day = DayClock(display, beside)

    def by_the_clock(found: re.Match[str]) -> str:
        try:
            return f"as of {day(unix_time(found[1]))}"
        except ValueError:
            return found[0]

    return _AS_OF.sub(by_the_clock, text)


def at_second(time: float, display: Display, beside: float = nan) -> str:
    """Return a time to the second, `18:17:12`, beside another: with the day where that is on another day or
    not known, with the offset where the clocks were set between the two or near one (`01:30:00 +0100`)."""
    if not isfinite(time):
        return NOT_KNOWN
    then = local(floor(time), display)
    other = local(floor(beside), display) if isfinite(beside) else None
    day = "" if other is not None and other.date() == then.date() else "%d %b "
    offset = " %z" if changes(time, beside, display) else ""
    return clock(floor(time), display, f"{day}%H:%M:%S{offset}")


def from_to(begin: float, end: float, display: Display) -> str:
    """Return `18:17:12 to 18:19:28`, with the days and offsets where they are not the same."""
    return f"{at_second(begin, display, end)} to {at_second(end, display, begin)}"


def zone_text(time: float, display: Display) -> str:
    """Return the zone as it stands beside a clock: `UTC+02:00`, with the name that the stay file gives."""
    if not isfinite(time):
        return display.zone
    offset = local(time, display).strftime("%z")
    shown = "UTC" if offset == "+0000" else f"UTC{offset[:3]}:{offset[3:5]}"
    return shown if isinstance(zone_of(display), timezone) else f"{shown} {display.zone}"


def span(seconds: float) -> str:
    """Return a length of time: `45 s`, `12 min`, `3 h 05 min`, `4 d 7 h`; a dash where it is not known."""
    if not isfinite(seconds):
        return NOT_KNOWN
    whole = round(abs(seconds))
    if whole < MINUTES_FROM_S:
        return f"{whole} s"
    minutes = round(whole / 60)
    if whole < HOURS_FROM_S:
        return f"{minutes} min"
    if whole < DAYS_FROM_S:
        return f"{minutes // 60} h {minutes % 60:02d} min"
    hours = round(whole / 3600)
    return f"{hours // 24} d {hours % 24} h"


def short_span(seconds: float) -> str:
    """Return how long ago, for narrow columns: `8 s`, `12 min`, `2 h 05`, `3 d`; never rounded up."""
    if not isfinite(seconds):
        return NOT_KNOWN
    whole = max(0, int(seconds))
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min"
    if whole < 48 * 3600:
        return f"{whole // 3600} h {whole % 3600 // 60:02d}"
    return f"{whole // 86400} d"
