"""Events as rows to read on a plain terminal, in the stay's own zone."""

from alongside.alerts.model import Event
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe
from alongside.wording.times import clock


def timeline_row(event: Event, display: Display) -> str:
    """Return one event as a row: local time, mark and stage, what happened, in words."""
    time = clock(event.time, display, "%Y-%m-%d %H:%M:%S")
    stage = event.stage or Stage.NORMAL
    word = stage.word.upper() if stage else ""
    return f"{time}  {MARKS[stage]} {word:8} {event.event:12} {safe(event.text)}".rstrip()
