"""Events as rows to read on a plain terminal, in the stay's own zone."""

import unicodedata
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from typing import Final
from zoneinfo import ZoneInfo

from alongside.alerts.model import Event
from alongside.alerts.rule_model import Stage
from alongside.stay.model import Display

MARKS: Final = {Stage.ALARM: "▲", Stage.WARNING: "●", Stage.CAUTION: "■", Stage.NORMAL: "·"}


def zone_of(display: Display) -> tzinfo:
    """The zone of a display: a fixed offset such as `+02:00`, or an IANA name."""
    text = display.zone
    if text[:1] in "+-" and len(text) == 6:
        size = timedelta(hours=int(text[1:3]), minutes=int(text[4:6]))
        return timezone(size if text[0] == "+" else -size)
    return UTC if text in ("Z", "UTC") else ZoneInfo(text)


def plain(text: str) -> str:
    """Text from outside made fit for a terminal: control characters, which could steer it, replaced."""
    return "".join("�" if unicodedata.category(char) in ("Cc", "Cf", "Cs") else char for char in text)


def timeline_row(event: Event, display: Display) -> str:
    """One event as a row: local time, mark and stage, what happened, in words."""
    local = datetime.fromtimestamp(event.time, zone_of(display))
    stage = event.stage or Stage.NORMAL
    word = stage.word.upper() if stage else ""
    return f"{local:%Y-%m-%d %H:%M:%S}  {MARKS[stage]} {word:8} {event.event:12} {plain(event.text)}".rstrip()
