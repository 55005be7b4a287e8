"""Times of the place as they are typed: `02:30`, `02:30 +0200`, or a date and time; and which instant of a
log is meant."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, timezone, tzinfo
from typing import Final

from alongside.stay.model import Display
from alongside.wording.times import clock, local, zone_of

Spans = Sequence[tuple[float, float]]
"""(from, to) of what a log holds, UNIX seconds, in order."""

_OF_DAY: Final = re.compile(
    r"([01]?\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?\s*(Z|[+-](?:0\d|1[0-4])(?::?[0-5]\d)?)?", re.ASCII
)
_BEFORE_OFFSET: Final = re.compile(r"\s+(?=[+-]\d\d:?\d\d$)")
YEARS: Final = range(1990, 2100)


@dataclass(frozen=True, slots=True)
class TimeOfDay:
    """Hour, minute and second by the clock of the place, or by an offset from UTC that stands beside it."""

    hour: int
    minute: int
    second: int = 0
    offset: tzinfo | None = None

    def __str__(self) -> str:
        return f"{time(self.hour, self.minute, self.second, tzinfo=self.offset)}"

    def on(self, day: date, zone: tzinfo) -> set[float]:
        """Return when it is on a day of the zone, UNIX seconds: once; near a change twice or never."""
        at = datetime(day.year, day.month, day.day, self.hour, self.minute, self.second)
        return instants(at, self.offset or zone)


def instants(moment: datetime, zone: tzinfo) -> set[float]:
    """Return when the clock of a zone shows a date and time, UNIX seconds: once, twice or never."""
    times = {moment.replace(tzinfo=zone, fold=fold).timestamp() for fold in (0, 1)}
    return {time for time in times if datetime.fromtimestamp(time, zone).replace(tzinfo=None) == moment}


def time_of_day(text: str) -> TimeOfDay | None:
    """Return the time of day that a text gives; None where it is none."""
    typed = _OF_DAY.fullmatch(text.strip())
    if typed is None:
        return None
    offset = None if typed[4] is None else _offset(typed[4])
    return TimeOfDay(int(typed[1]), int(typed[2]), int(typed[3] or 0), offset)


def _offset(text: str) -> tzinfo:
    """Return the zone of `Z`, `+02`, `+0200` or `+02:00`."""
    digits = text[1:].replace(":", "").ljust(4, "0")
    ahead = timedelta(hours=int(digits[:2]), minutes=int(digits[2:]))
    return timezone(-ahead if text[0] == "-" else ahead)


def moments(text: str, display: Display) -> set[float]:
    """Return when a date and time is, UNIX seconds; by the clock of the place where it bears no offset: once,
    twice, or never where the clocks are put on. Raise ValueError for what is no date and time of 1990 to
    2099."""
    moment = datetime.fromisoformat(_BEFORE_OFFSET.sub("", text.strip()))
    if not YEARS.start <= moment.year < YEARS.stop:
        raise ValueError(f"not of 1990 to 2099: {text!r}")
    return {moment.timestamp()} if moment.tzinfo else instants(moment, zone_of(display))


def within(times: Iterable[float], spans: Spans) -> list[float]:
    """Return the times that lie within the spans, in order."""
    return sorted({time for time in times if any(begin <= time <= end for begin, end in spans)})


def times_of_day(of_day: TimeOfDay, display: Display, spans: Spans) -> list[float]:
    """Return when it is that time of day within the spans, UNIX seconds, in order."""
    zone = zone_of(display)
    times: set[float] = set()
    for begin, end in spans:
        day = local(begin, display).date() - timedelta(days=1)
        while day <= local(end, display).date() + timedelta(days=1):
            times |= of_day.on(day, zone)
            day += timedelta(days=1)
    return within(times, spans)


def nearest(times: Iterable[float], near: float) -> float | None:
    """Return the time that is nearest to an instant, the earlier of two; None where there is none."""
    return min(times, key=lambda time: (abs(time - near), time), default=None)


def spans_text(spans: Spans, display: Display) -> str:
    """Return what a log holds, in words: `24 Oct 20:00 +0100 to 25 Oct 08:00, with gaps`."""
    begin, end = (clock(time, display, "%d %b %H:%M") for time in (spans[0][0], spans[-1][1]))
    return f"{begin} to {end}{', with gaps' if len(spans) > 1 else ''}"


def which_of_two(time: float, display: Display) -> str:
    """Return `, the first of two` where the clock of the place shows a time twice, else nothing."""
    both = sorted(instants(local(time, display).replace(tzinfo=None), zone_of(display)))
    return f", the {('first', 'second')[both.index(time)]} of two" if len(both) == 2 and time in both else ""
