"""What the watch types to go to another time of a replay: `03:10`, `+1:30`, `-0:20`, or a date and time."""

import re
from datetime import datetime

from alongside.actions import Seek
from alongside.screens.refusal import Refused
from alongside.stay.model import Display
from alongside.wording.times import clock, local, zone_of

HINT = "03:10 = that time today    +1:30 on, -0:20 back    or a date and time"
_BY = re.compile(r"\s*([+-])\s*(\d{1,2}):([0-5]\d)\s*")
_AT = re.compile(r"\s*([01]?\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?\s*")


def seek(text: str, now: float, display: Display) -> tuple[Seek, str]:
    """Return the control and the same in words, `now` being the time the replay has reached (UNIX seconds).
    Raise Refused with what was expected."""
    time = _time(text, now, display)
    return Seek(time), f"replay goes to {clock(time, display, '%a %d %b %H:%M:%S')}"


def _time(text: str, now: float, display: Display) -> float:
    if by := _BY.fullmatch(text):
        seconds = int(by[2]) * 3600 + int(by[3]) * 60
        return now + (seconds if by[1] == "+" else -seconds)
    if at := _AT.fullmatch(text):
        hour, minute, second = int(at[1]), int(at[2]), int(at[3] or 0)
        return local(now, display).replace(hour=hour, minute=minute, second=second, microsecond=0).timestamp()
    try:
        moment = datetime.fromisoformat(text.strip())
    except ValueError as error:
        raise Refused("expected a time such as 03:10, +1:30 or 2026-03-02 03:10") from error
    return (moment if moment.tzinfo else moment.replace(tzinfo=zone_of(display))).timestamp()
