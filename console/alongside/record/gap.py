"""Words for a time without a watch, in the time of the place."""

from datetime import datetime
from math import floor

from alongside.stay.model import Display
from alongside.wording.times import zone_of


def gap_text(begin: float, end: float, ended: bool | None, display: Display) -> str:
    """`no watch for 2 min 16 s, 18:17:12 to 18:19:28; it was cut off`, of UNIX seconds; with the days where
    they are not the same. `ended`: in order; None where that is not known."""
    first, last = (datetime.fromtimestamp(floor(time), zone_of(display)) for time in (begin, end))
    form = "%H:%M:%S" if first.date() == last.date() else "%d %b %H:%M:%S"
    how = {True: "; it had been ended", False: "; it was cut off", None: ""}[ended]
    span = span_words(floor(end) - floor(begin))
    return f"no watch for {span}, {first:{form}} to {last:{form}}{how}"


def span_words(seconds: int) -> str:
    """`40 s`, `2 min 16 s`, `3 h 51 min`."""
    if seconds < 60:
        return f"{seconds} s"
    minutes, left = divmod(seconds, 60)
    if minutes < 60:
        return f"{minutes} min {left} s" if left else f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60:02d} min"
