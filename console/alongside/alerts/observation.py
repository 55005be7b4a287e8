"""One rule at one instant, and what is put down of what became of its alert. No text is made here."""

from dataclasses import dataclass
from math import isfinite, isnan, nan

from alongside.alerts.model import Alert, Condition, Event, EventWord, Onset
from alongside.alerts.rule_model import Rule
from alongside.stay.stage import Stage


@dataclass(frozen=True, slots=True)
class Wording:
    """What the text of an alert is to be made from: the rule's place `k`, a stage (normal: that it is within
    limits again), and what came before."""

    k: int
    stage: Stage
    onset: Onset


@dataclass(frozen=True, slots=True)
class Change:
    """What happened to an alert, or only to its text where `event` is None; `wording` asks for a new text.
    Silence has no alert, but a count of alerts; `by` is who acted, `why` says why an acceptance ended."""

    event: Event | None
    alert: Alert | None
    wording: Wording | None = None
    by: str = ""
    count: int = 0
    why: str = ""


@dataclass(frozen=True, slots=True)
class Observation:
    """One rule at one instant, and where to put down what changes. `value` NaN with level 0: not known."""

    now: float
    k: int
    rule: Rule
    value: float
    level: int
    keep: int
    changes: list[Change]
    parts: int = 0
    """What calls for a warning or an alarm, a bit each; 0 for a rule that is one thing."""

    @property
    def known(self) -> bool:
        return not isnan(self.value) or self.level > 0

    def limit(self, stage: Stage) -> float:
        return self.rule.limits[stage - 1]

    def add(self, word: EventWord | None, alert: Alert, stage: Stage, onset: Onset) -> None:
        """Put down what became of an alert; its text is asked for at a stage."""
        event = None if word is None else event_of(self.now, word, alert)
        self.changes.append(Change(event, alert, Wording(self.k, stage, onset)))


def event_of(now: float, word: EventWord, alert: Alert) -> Event:
    """Return what happened to an alert, as it stands after it; value and limit None where there is none."""
    return Event(
        time=now,
        event=word,
        alert=alert.cause,
        subject=alert.subject,
        stage=alert.stage,
        line=alert.line,
        value=alert.value if isfinite(alert.value) else None,
        limit=alert.limit if isfinite(alert.limit) else None,
        text=alert.text,
    )


def onset_of(condition: Condition, stage: Stage, unanswered_since: float | None = None) -> Onset:
    """Return with what value a stage was reached, and since when nobody has answered."""
    return Onset(condition.reached[stage - 1] if stage else nan, unanswered_since)
