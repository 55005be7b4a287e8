"""The time that lines of one kind bear themselves, found by comparing it with ours."""

import re
from dataclasses import dataclass
from typing import Final

from alongside.feeds.export_rows import cells_on_record
from alongside.feeds.figures_heard import KindHeard
from alongside.feeds.flaws import Flawed
from alongside.feeds.line_shapes import read_shape
from alongside.feeds.row_times import time_of_text
from alongside.feeds.sentence import MILLISECONDS_FROM

QUARTER_S: Final = 900.0
FARTHEST_S: Final = 14 * 3600.0 + 60.0
NOW_S: Final = 60.0
NEAR_S: Final = 86_400.0
_FORMS: Final = {"date_iso": "%Y-%m-%d", "date_dmy": "%d.%m.%Y", "clock": "%H:%M:%S", "clock_min": "%H:%M"}
_CLOCKS: Final = ("clock", "clock_min", "clock_12")
_SLASHES: Final = re.compile(r"(\d{1,2})/(\d{1,2})/\d{4}")


@dataclass(frozen=True, slots=True)
class TimeHeard:
    """Slots, or columns, that bear the time, its form, the zone that fits best (s east; None where it names
    its own), and by how much it is then ahead of ours, s."""

    slots: tuple[int, ...]
    form: str
    zone_s: float | None
    ahead_s: float


def time_heard(kind: KindHeard) -> TimeHeard | None:
    """Return the time of the newest line of a kind; None where it bears none that is understood."""
    if kind.columns:
        places, kinds, texts = _of_row(kind.line)
    elif kind.shape is not None:
        kinds, texts = kind.shape.kinds, read_shape(kind.line)[1]
        places = tuple(range(len(kinds)))
    else:
        return None
    found = _slots_and_form(kinds, texts, kind.time)
    if found is None:
        return None
    slots, form = found
    text = " ".join(texts[at] for at in slots)
    slots = tuple(dict.fromkeys(places[at] for at in slots))
    named = form == "unix" or bool(re.search(r"(?:Z|[-+]\d\d:\d\d)\Z", text))
    try:
        stated = time_of_text(text.encode("latin-1"), form, None if named else 0.0, kind.time)
    except Flawed:
        return None
    if named:
        return TimeHeard(slots, form, None, stated - kind.time)
    zone = round((stated - kind.time) / QUARTER_S) * QUARTER_S
    # The newest row of an export may be hours old: only one that is of now says the zone.
    old = kind.columns and abs(stated - zone - kind.time) > NOW_S
    if abs(zone) > FARTHEST_S or old:
        zone = 0.0
    return TimeHeard(slots, form, zone, stated - zone - kind.time)


def _of_row(line: bytes) -> tuple[tuple[int, ...], tuple[str, ...], tuple[str, ...]]:
    """Return the columns of a row that hold nothing but dates, times and numbers, the kind of each of these
    and its text."""
    places: list[int] = []
    kinds: list[str] = []
    texts: list[str] = []
    for at, cell in enumerate(cells_on_record(line).values()):
        shape, found = read_shape(cell)
        if not any(between.strip() for between in shape.between):
            places += [at] * len(found)
            kinds += shape.kinds
            texts += found
    return tuple(places), tuple(kinds), tuple(texts)


def _slots_and_form(
    kinds: tuple[str, ...], texts: tuple[str, ...], arrived: float
) -> tuple[tuple[int, ...], str] | None:
    for at, kind in enumerate(kinds):
        if kind == "iso":
            return (at,), "iso"
        if kind == "number" and re.fullmatch("[0-9]{10,13}", texts[at]):
            value = float(texts[at])
            if abs((value / 1000.0 if value >= MILLISECONDS_FROM else value) - arrived) < NEAR_S:
                return (at,), "unix"
    date = next((at for at, kind in enumerate(kinds) if kind.startswith("date")), None)
    clock = next((at for at, kind in enumerate(kinds) if kind in _CLOCKS), None)
    if clock is None or "." in texts[clock]:
        return None
    of_clock = _form_of_clock(kinds[clock], texts[clock])
    if date is None:
        return (clock,), of_clock
    of_date = _FORMS.get(kinds[date]) or _form_of_slashes(texts[date])
    return ((date, clock), f"{of_date} {of_clock}") if of_date else None


def _form_of_clock(kind: str, text: str) -> str:
    return _FORMS.get(kind) or ("%I:%M:%S %p" if " " in text else "%I:%M:%S%p")


def _form_of_slashes(text: str) -> str:
    """Return the form of a date with slashes; "" where nobody can tell day from month."""
    if re.fullmatch(r"\d{4}/\d{1,2}/\d{1,2}", text):
        return "%Y/%m/%d"
    parts = _SLASHES.fullmatch(text)
    if parts is None or (int(parts[1]) <= 12) == (int(parts[2]) <= 12):
        return ""
    return "%d/%m/%Y" if int(parts[1]) > 12 else "%m/%d/%Y"
