"""How an alert that stands came to its stage, and who acknowledged it."""

from dataclasses import replace
from typing import Final

from alongside.alerts.course import course_text, stage_since
from alongside.alerts.model import Alert, Event, EventWord, Standing
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.units import unix_time

RAISED: Final = unix_time("2026-03-20T03:27:00Z")
ALERT: Final = Alert(
    "brake", "4", "4", Stage.ALARM, Standing.UNACKNOWLEDGED, RAISED, RAISED + 1830.0, 1.02, 1.0, "", "over"
)


def event(word: EventWord, minutes: float, stage: Stage, text: str = "over", subject: str = "4") -> Event:
    return Event(RAISED + 60.0 * minutes, word, "brake", subject, stage, subject, text=text)


LOG: Final = (
    event("rectified", -60.0, Stage.WARNING),
    event("raised", 0.0, Stage.CAUTION),
    event("worsened", 20.0, Stage.WARNING),
    event("acknowledged", 25.0, Stage.WARNING, "Acknowledged by AB: line 4 brake 92 %"),
    event("worsened", 30.0, Stage.ALARM),
    event("worsened", 31.0, Stage.ALARM, subject="10"),
    Event(RAISED + 1900.0, "silenced", stage=Stage.ALARM),
)


def test_an_alert_is_as_old_as_its_stage() -> None:
    """Nobody has left an alarm unanswered for half an hour that was a caution till now."""
    assert stage_since(ALERT, LOG) == RAISED + 1800.0
    assert stage_since(ALERT, LOG[:4]) == RAISED + 1200.0
    silenced = replace(ALERT, standing=Standing.SILENCED, changed_at=RAISED + 1900.0)
    assert stage_since(silenced, LOG) == RAISED + 1800.0, "a silence makes it no younger"
    assert stage_since(ALERT, ()) == RAISED
    assert stage_since(ALERT, (*LOG, event("rectified", 40.0, Stage.ALARM))) == RAISED + 2400.0


def test_its_course_says_who_acknowledged_it_and_when() -> None:
    words = "Caution 03:27, warning 03:47, acknowledged by AB 03:52, alarm 03:57"
    assert course_text(ALERT, LOG, Display(), RAISED + 2000.0) == words
    assert course_text(ALERT, LOG[:1], Display(), RAISED) == "", "nothing from before it was raised"
