"""The time that a row bears itself: that of its values, where it is not ahead of ours.

A row that was kept back says when it was measured, so that its values are as old as they are. One of a clock
that runs ahead says nothing that can be used: by a little, its time is that of arrival; by more, it is not
taken.
"""

import re
from datetime import UTC, datetime, timedelta, timezone
from functools import lru_cache
from typing import Final

from alongside.feeds.flaws import Flaw, Flawed
from alongside.feeds.sentence import MILLISECONDS_FROM
from alongside.stay.model import RowTime
from alongside.units import is_time

AHEAD_S: Final = 60.0
"""More than this ahead of ours is no time of a measurement: a wrong zone, a clock that was never set."""
DAY_S: Final = 86_400.0
LONGEST: Final = 48


def own_time(row_time: RowTime, match: "re.Match[bytes]", arrived: float) -> float:
    """Return UNIX seconds of the row of a match, at most `arrived`. Raise Flawed for what is no time, or one
    that is ahead of ours."""
    return usable_time(stated_time(row_time, match, arrived), arrived)


def stated_time(row_time: RowTime, match: "re.Match[bytes]", arrived: float) -> float:
    """Return UNIX seconds as the row states them. Raise Flawed for what is no time of 1990 to 2099."""
    text = b" ".join([(match[group] or b"").strip() for group in row_time.groups])
    return time_of_text(text, row_time.form, row_time.zone_s, arrived)


def time_of_text(text: bytes, form: str, zone_s: float | None, arrived: float) -> float:
    """Return UNIX seconds of a text; without a date the nearest to arrival. Raise Flawed."""
    if len(text) > LONGEST:
        raise Flawed(Flaw.GARBLED)
    try:
        time = _of_minute(text, form, zone_s)
    except (ValueError, OverflowError):
        raise Flawed(Flaw.GARBLED) from None
    if not bears_a_date(form):
        time += round((arrived - time) / DAY_S) * DAY_S
    if not is_time(time):
        raise Flawed(Flaw.WRONG_TIME)
    return time


def usable_time(stated: float, arrived: float) -> float:
    """Return the time to use of a stated one. Raise Flawed for one too far ahead."""
    if stated - arrived > AHEAD_S:
        raise Flawed(Flaw.TIME_AHEAD)
    return min(stated, arrived)


def bears_a_date(form: str) -> bool:
    """Return whether a time of this form says by itself of which day it is."""
    return form in ("iso", "unix") or any(part in form for part in ("%d", "%j"))


def _of_minute(text: bytes, form: str, zone_s: float | None) -> float:
    """Return UNIX seconds; rows of one minute share all of it but its end, which is slow to read."""
    seconds = text[-2:]
    if form.endswith(":%S") and text[-3:-2] == b":" and seconds.isdigit() and seconds < b"60":
        return _read(text[:-2] + b"00", form, zone_s) + int(seconds)
    return _read(text, form, zone_s)


@lru_cache(maxsize=1024)
def _read(text: bytes, form: str, zone_s: float | None) -> float:
    words = text.decode("ascii")
    if form == "unix":
        seconds = float(words) if re.fullmatch(r"[0-9]{1,14}(\.[0-9]*)?", words) else -1.0
        return seconds / 1000.0 if seconds >= MILLISECONDS_FROM else seconds
    moment = datetime.fromisoformat(words) if form == "iso" else datetime.strptime(words, form)
    if moment.tzinfo is None:
        if zone_s is None:
            raise ValueError("a time without a zone")
        moment = moment.replace(tzinfo=timezone(timedelta(seconds=zone_s)))
    elif form == "iso" and zone_s is not None and moment.utcoffset() != timedelta(seconds=zone_s):
        raise ValueError("another zone than the stay file says")
    return moment.astimezone(UTC).timestamp()
