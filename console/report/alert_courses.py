"""Each alert from its raising to its end, as the events on record tell it: how bad it became, how soon it was
answered and by whom."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import nan
from typing import Final

from console.actions import Acknowledge
from console.alerts.model import Event
from console.assessment import Stage
from console.record.reader import Done

RISING: Final = ("raised", "worsened", "escalated")


@dataclass(frozen=True, slots=True)
class AlertCourse:
    """One cause on one subject, once. Times are UNIX seconds, NaN for what did not happen."""

    cause: str
    subject: str
    line: str | None
    worst: Stage
    text: str
    """Its words when it was at its worst."""
    raised: float
    acknowledged: float = nan
    """First acknowledged."""
    by: str = ""
    rectified: float = nan
    """In band again while nobody had acknowledged it; NaN if not, or if it rose again."""
    ended: float = nan
    """NaN for one that stood when the record ends."""

    @property
    def answered_after(self) -> float:
        """Seconds from its raising to its first acknowledgement."""
        return self.acknowledged - self.raised


def alert_courses(events: Iterable[Event], deeds: Sequence[Done]) -> tuple[AlertCourse, ...]:
    """Alerts in order of their raising."""
    standing: dict[tuple[str, str], AlertCourse] = {}
    told: list[AlertCourse] = []
    for event in events:
        if event.alert is None or event.stage is None:
            continue
        key = (event.alert, event.subject or "")
        if event.event == "raised" and key in standing:
            # Raised anew while nobody has acknowledged that it was rectified: one alert still.
            standing[key] = replace(_risen(standing[key], event), rectified=nan)
        elif event.event == "raised":
            standing[key] = AlertCourse(*key, event.line, event.stage, event.text, event.time)
        elif key in standing:
            standing[key] = _followed(standing[key], event, deeds)
            if event.event == "cleared":
                told.append(standing.pop(key))
    return tuple(sorted([*told, *standing.values()], key=lambda one: one.raised))


def _followed(course: AlertCourse, event: Event, deeds: Sequence[Done]) -> AlertCourse:
    if event.event in RISING:
        return replace(_risen(course, event), rectified=nan)
    if event.event == "rectified":
        return replace(course, rectified=event.time)
    if event.event == "acknowledged" and course.acknowledged != course.acknowledged:
        return replace(course, acknowledged=event.time, by=_by(event, deeds))
    return replace(course, ended=event.time) if event.event == "cleared" else course


def _risen(course: AlertCourse, event: Event) -> AlertCourse:
    if event.stage is None or event.stage <= course.worst:
        return course
    return replace(course, worst=event.stage, text=event.text)


def _by(event: Event, deeds: Sequence[Done]) -> str:
    """Who acknowledged: the last such deed on this alert up to then."""
    done = [
        deed.action.by
        for deed in deeds
        if isinstance(deed.action, Acknowledge)
        and (deed.action.cause, deed.action.subject) == (event.alert, event.subject or "")
        and deed.time <= event.time + 1.0
    ]
    return done[-1] if done else ""
