"""Times as they are typed in an answer: a date and time, or a time of day, by the clock of the place."""

from datetime import date, timedelta
from typing import Final

from alongside.reports.new_stay.values import Refused, Value
from alongside.stay.model import Display
from alongside.units import iso_time
from alongside.wording.safe import safe
from alongside.wording.times import local, zone_of
from alongside.wording.typed_times import moments, time_of_day

EXPECTED: Final = "a time of the place such as 05:30, or with its date, 2026-09-12 05:30"


def day_of(word: str) -> date | None:
    """Return the date that a word is; None where it is none."""
    try:
        return date.fromisoformat(word) if len(word) == 10 else None
    except ValueError:
        return None


def time_at(words: list[str], what: str, display: Display, day: date) -> tuple[float, date, int]:
    """Return the UNIX time that begins a list of words, its date, and how many words it takes; `day` serves
    where there is no date. Raise Refused."""
    given = day_of(words[0]) if words else None
    rest = words[1:] if given is not None else words
    of_day = time_of_day(rest[0]) if rest else None
    taken = len(words) - len(rest) + 1
    if of_day is not None:
        at = sorted(of_day.on(given or day, zone_of(display)))
        if at:
            return at[0], given or day, taken
    if words and "T" in words[0]:
        try:
            at = sorted(moments(words[0], display))
        except ValueError:
            at = []
        if at:
            return at[0], local(at[0], display).date(), 1
    shown = safe(" ".join(words[:2])) or "nothing"
    raise Refused(f"{what}: {shown!r} is no time, expected {EXPECTED}")


def latest_before(words: list[str], what: str, display: Display, now: float) -> tuple[float, date, int]:
    """Return the same of a time that has been: without a date the last such time before now."""
    today = local(now, display).date()
    at, day, taken = time_at(words, what, display, today)
    if at > now and day_of(words[0]) is None and "T" not in words[0]:
        return time_at(words, what, display, today - timedelta(days=1))
    return at, day, taken


def time_value(at: float) -> Value:
    """Return a time as the stay file has it."""
    return Value(at, iso_time(at))
