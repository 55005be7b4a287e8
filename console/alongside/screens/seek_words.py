"""What the watch types to go to another time of a replay: `03:10`, `+1:30`, `-0:20`, or a date and time."""

import re
from typing import Final

from alongside.actions.controls import Seek
from alongside.cycle.picture import Picture
from alongside.screens.refusal import Refused
from alongside.stay.model import Display
from alongside.wording.times import clock
from alongside.wording.typed_times import (
    Spans,
    moments,
    nearest,
    spans_text,
    time_of_day,
    times_of_day,
    which_of_two,
    within,
)

HINT = "03:10 = nearest in the log    +1:30 on, -0:20 back    or a date and time"
_BY: Final = re.compile(r"([+-])\s*(\d{1,2}):([0-5]\d)", re.ASCII)
_FORM: Final = "%a %d %b %H:%M:%S"


def seek(text: str, picture: Picture) -> tuple[Seek, str]:
    """Return the control and the same in words, of a Picture of a replay. Raise Refused with what was
    expected, or with what the log holds."""
    text, display = text.strip(), picture.stay.display
    if by := _BY.fullmatch(text):
        seconds = int(by[2]) * 3600 + int(by[3]) * 60
        return _moved(picture.time + (seconds if by[1] == "+" else -seconds), picture.log_spans, display)
    time = _time(text, picture)
    return Seek(time), f"replay goes to {clock(time, display, _FORM)}{which_of_two(time, display)}"


def _moved(time: float, spans: Spans, display: Display) -> tuple[Seek, str]:
    """Return the control that goes so far, but not beyond what the log holds."""
    if spans and time > spans[-1][1]:
        return Seek(spans[-1][1]), f"replay goes to the end of the log, {clock(spans[-1][1], display, _FORM)}"
    if spans and time < spans[0][0]:
        return Seek(spans[0][0]), f"replay goes to the start of the log, {clock(spans[0][0], display, _FORM)}"
    return Seek(time), f"replay goes to {clock(time, display, _FORM)}"


def _time(text: str, picture: Picture) -> float:
    """Return the instant in the log that a time of day or a date and time means, the nearest to where the
    replay stands."""
    display, spans = picture.stay.display, picture.log_spans
    of_day = time_of_day(text)
    if of_day is None:
        try:
            meant = moments(text, display)
        except ValueError as error:
            raise Refused("expected a time such as 03:10, 03:10 +0200, +1:30 or 2026-03-02 03:10") from error
        if not meant:
            raise Refused(f"there is no {text}: the clocks are put on then")
    if not spans:
        raise Refused("the log is being read, try again in a moment")
    candidates = within(meant, spans) if of_day is None else times_of_day(of_day, display, spans)
    time = nearest(candidates, picture.time)
    if time is None:
        raise Refused(f"no {text} in the log ({spans_text(spans, display)})")
    return time
