"""Events as rows to read on a plain terminal, in the stay's own zone."""

from datetime import datetime

from alongside.alerts.model import Event
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe
from alongside.wording.times import zone_of


def timeline_row(event: Event, display: Display) -> str:
    """One event as a row: local time, mark and stage, what happened, in words."""
    local = datetime.fromtimestamp(event.time, zone_of(display))
    stage = event.stage or Stage.NORMAL
    word = stage.word.upper() if stage else ""
    return f"{local:%Y-%m-%d %H:%M:%S}  {MARKS[stage]} {word:8} {event.event:12} {safe(event.text)}".rstrip()
