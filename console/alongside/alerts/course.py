"""How an alert that stands came to its stage: since when it has it, and who acknowledged it."""

from collections.abc import Iterator, Sequence
from typing import Final

from alongside.alerts.episodes import RISES
from alongside.alerts.model import Alert, Event, EventWord
from alongside.stay.model import Display
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

CHANGES: Final[frozenset[EventWord]] = RISES | {"eased", "rectified"}
"""Events after which an alert has another stage, or is cleared."""


def stage_since(alert: Alert, log: Sequence[Event]) -> float:
    """Return since when an alert has its stage, or is cleared, UNIX seconds: when it was raised, where the
    log has no change of it since. Neither an answer nor a silence changes that."""
    changes = (event.time for event in _newest_first(alert, log) if event.event in CHANGES)
    return next(changes, alert.raised_at)


def course_text(alert: Alert, log: Sequence[Event], display: Display, now: float) -> str:
    """Return `Caution 03:27, warning 03:47, acknowledged by AB 03:54`: how an alert came to its stage and who
    answered it; "" where the log says nothing of it."""
    clock, words = DayClock(display, now), []
    for event in reversed(list(_newest_first(alert, log))):
        word = _word(event)
        if word:
            words.append(f"{word} {clock(event.time)}")
    text = ", ".join(words)
    return f"{text[:1].upper()}{text[1:]}"


def _newest_first(alert: Alert, log: Sequence[Event]) -> Iterator[Event]:
    """Return what happened to an alert since it was raised."""
    for event in reversed(log):
        if event.time < alert.raised_at:
            return
        if (event.alert, event.subject or "") == alert.key:
            yield event


def _word(event: Event) -> str:
    if event.event == "acknowledged":
        words = event.text.partition(": ")[0]
        return safe(f"{words[:1].lower()}{words[1:]}") or "acknowledged"
    if event.event == "rectified":
        return "cleared"
    return event.stage.word if event.event in CHANGES and event.stage is not None else ""
