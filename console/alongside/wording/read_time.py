"""When something was read: `now`, or a time of the last hours by the clock of the place."""

from math import isfinite
from typing import Final

from alongside.errors import WrongInput
from alongside.stay.model import Display
from alongside.wording.safe import safe
from alongside.wording.times import clock
from alongside.wording.typed_times import moments, time_of_day, times_of_day, within

OLDEST_S: Final = 12 * 3600.0
"""A reading older than this is not worth entering."""
AHEAD_S: Final = 60.0
"""By so much another clock may run ahead."""
NOW: Final = ("", "now")


def read_time(text: str, now: float, display: Display) -> float:
    """Return when it was read, UNIX seconds: the newest such time in the twelve hours up to `now`. Raise
    WrongInput with what was expected."""
    text = text.strip()
    if not isfinite(now):
        raise WrongInput("the time of now is not known yet, expected it with the first figures")
    if text.lower() in NOW:
        return now
    span = [(now - OLDEST_S, now + AHEAD_S)]
    of_day = time_of_day(text)
    try:
        times = times_of_day(of_day, display, span) if of_day else within(moments(text, display), span)
    except ValueError:
        raise WrongInput(f"{safe(text)!r}, expected now or a time such as 06:30") from None
    if not times:
        since = clock(now - OLDEST_S, display)
        raise WrongInput(f"{safe(text)} is not within the last 12 h, expected {since} to now")
    return min(times[-1], now)
