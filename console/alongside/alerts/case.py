"""One rule within one step: its alert raised, worsened, eased, suspended, escalated, rectified, cleared."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import isfinite, isnan, nan
from typing import Final

from alongside.alerts.conditions import QUIET, came_on, followed, frozen_at, lasting, left
from alongside.alerts.model import Alert, Condition, Event, EventWord, Past, Standing
from alongside.alerts.rule_model import Rule
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage

ESCALATING: Final[frozenset[Cause]] = frozenset({"load", "stretch"})
"""Causes whose warning becomes an alarm when nobody acknowledges it."""
ESCALATION_S: Final = 120.0
CHATTER_RISES: Final = 3
CHATTER_S: Final = 60.0
HOLD_S: Final = 300.0
"""An alert that comes and goes is held active until its condition has not come on anew for this long."""

UNANSWERED: Final = (Standing.UNACKNOWLEDGED, Standing.SILENCED)

Rises = tuple[tuple[Stage, float], ...]
Words = Callable[[Stage, Past], str]
"""Text of the rule at a stage; normal: that it is within limits again."""


@dataclass(frozen=True, slots=True)
class Case:
    """What is remembered of one rule."""

    alert: Alert | None
    condition: Condition
    rises: Rises


@dataclass(slots=True)
class Look:
    """One look at one rule. `value` NaN with level 0: not known."""

    now: float
    rule: Rule
    value: float
    level: int
    keep: int
    words: Words
    events: list[Event]

    @property
    def known(self) -> bool:
        return not isnan(self.value) or self.level > 0

    def limit(self, stage: Stage) -> float:
        return self.rule.limits[stage - 1]

    def tell(self, word: EventWord, alert: Alert) -> None:
        """Put on record what became of the alert, in the words that it has now."""
        self.events.append(event_of(self.now, word, alert))


def event_of(now: float, word: EventWord, alert: Alert) -> Event:
    """What happened to an alert, as it stands after it; value and limit None where there is none."""
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


def follow(case: Case, look: Look) -> Case:
    """Bring one rule up to now."""
    if not look.known:
        return _lost(case, look)
    alert = _regained(case.alert, look.now)
    condition = followed(case.condition, look.now, look.level, look.keep, look.value)
    rises, chattering = _rises(case, condition, look.now)
    stood = Stage.NORMAL if alert is None else alert.own_stage
    held_until = _held_until(alert, chattering, rises is not case.rises, look.now)
    reached = max(lasting(condition, look.now, look.rule.slow, stood), chattering)
    if reached > stood:
        alert = _risen(alert, condition, reached, held_until, look)
    elif alert is not None:
        alert = _holding(alert, condition, held_until, look)
        alert = alert if alert.held else _eased(alert, condition, look)
    return Case(_escalated(alert, condition, look), condition, rises)


def _lost(case: Case, look: Look) -> Case:
    """The input is lost: what stands is suspended, what was on its way is forgotten."""
    alert = case.alert
    if alert is None or alert.standing is Standing.RECTIFIED:
        return replace(case, condition=QUIET)
    if alert.suspended:
        return case
    alert = replace(alert, suspended=True, suspended_at=look.now)
    return replace(case, alert=alert, condition=frozen_at(case.condition, alert.own_stage, look.now))


def _regained(alert: Alert | None, now: float) -> Alert | None:
    """The input is back: the alert goes on where it stood; the time it was blind does not count."""
    if alert is None or not alert.suspended:
        return alert
    blind = 0.0 if alert.suspended_at is None else now - alert.suspended_at
    due = None if alert.escalates_at is None else alert.escalates_at + blind
    return replace(alert, suspended=False, suspended_at=None, escalates_at=due)


def _rises(case: Case, condition: Condition, now: float) -> tuple[Rises, Stage]:
    """Latest rises with those of now, and the worst stage that rose for the third time within a minute."""
    new = came_on(case.condition, condition)
    if not new:
        return case.rises, Stage.NORMAL
    recent = tuple((stage, at) for stage, at in case.rises if at >= now - CHATTER_S)
    rises = recent + tuple((stage, now) for stage in new)
    often = [stage for stage in new if sum(one is stage for one, _at in rises) >= CHATTER_RISES]
    return rises, max(often, default=Stage.NORMAL)


def _held_until(alert: Alert | None, chattering: Stage, rose: bool, now: float) -> float | None:
    """Until when the alert is held active; None for one that does not come and go."""
    before = None if alert is None else alert.held_until
    if chattering or (before is not None and rose):
        return now + HOLD_S
    return before if before is not None and now < before else None


def _holding(alert: Alert, condition: Condition, held_until: float | None, look: Look) -> Alert:
    held = held_until is not None
    if held == alert.held:
        return alert if held_until == alert.held_until else replace(alert, held_until=held_until)
    past = past_of(condition, alert.own_stage, alert.unanswered_since)
    text = said(look.words(alert.own_stage, past), held)
    return replace(alert, held=held, held_until=held_until, value=look.value, text=text)


def past_of(condition: Condition, stage: Stage, unanswered_since: float | None = None) -> Past:
    return Past(condition.reached[stage - 1] if stage else nan, unanswered_since)


def said(text: str, held: bool) -> str:
    return f"{text}; comes and goes, held active" if held else text


def _risen(
    alert: Alert | None, condition: Condition, stage: Stage, held_until: float | None, look: Look
) -> Alert:
    """Raised, or worsened. An alert that worsens must be acknowledged again. Its value is one that reaches
    the limit: that of now, or where that is better again, the one with which the limit was reached."""
    anew = alert is None or alert.standing is Standing.RECTIFIED
    owed = Stage.NORMAL if alert is None else alert.owed
    if stage > Stage.CAUTION:
        owed = max(owed, stage)
    since = None if alert is None or anew else alert.unanswered_since
    past = past_of(condition, stage, since)
    risen = Alert(
        cause=look.rule.cause,
        subject=look.rule.subject,
        line=look.rule.line,
        stage=stage,
        standing=Standing.UNACKNOWLEDGED,
        raised_at=look.now if alert is None or anew else alert.raised_at,
        changed_at=look.now,
        value=look.value if look.level >= stage else past.was,
        limit=look.limit(stage),
        unit=look.rule.unit,
        text=said(look.words(stage, past), held_until is not None),
        held=held_until is not None,
        held_until=held_until,
        owed=owed,
        unanswered_since=since,
    )
    look.tell("raised" if anew else "worsened", risen)
    return risen


def _eased(alert: Alert, condition: Condition, look: Look) -> Alert | None:
    """Eased, rectified or cleared, as far as the off-delay has run out. None: cleared."""
    if alert.standing is Standing.RECTIFIED:
        return alert
    stage = left(alert.cause, condition, look.now, alert.stage)
    if stage is alert.stage:
        return alert
    if stage is Stage.NORMAL:
        return _rectified(alert, look)
    if alert.escalated:
        return alert  # an alarm made by waiting stays one until somebody answers
    eased = replace(
        alert,
        stage=stage,
        changed_at=look.now,
        value=look.value,
        limit=look.limit(stage),
        text=look.words(stage, past_of(condition, stage)),
        unanswered_since=None,
    )
    look.tell("eased", eased)
    return eased


def _rectified(alert: Alert, look: Look) -> Alert | None:
    """The condition is gone: what nobody has acknowledged stays in the list until somebody does."""
    if not alert.owed:
        look.tell("cleared", replace(alert, value=look.value, text=look.words(Stage.NORMAL, Past())))
        return None
    rectified = replace(
        alert,
        stage=alert.owed,
        standing=Standing.RECTIFIED,
        changed_at=look.now,
        value=look.value,
        limit=look.limit(alert.owed),
        text=look.words(Stage.NORMAL, Past()),
        silenced_until=None,
        escalated=False,
        unanswered_since=None,
    )
    look.tell("rectified", rectified)
    return rectified


def _escalated(alert: Alert | None, condition: Condition, look: Look) -> Alert | None:
    """A warning on load or stretch that nobody acknowledges becomes an alarm, unless it is just going."""
    if alert is None:
        return None
    waits = alert.stage is Stage.WARNING and alert.standing in UNANSWERED and alert.cause in ESCALATING
    if not waits:
        return alert if alert.escalates_at is None else replace(alert, escalates_at=None)
    if alert.escalates_at is None:
        return replace(alert, escalates_at=look.now + ESCALATION_S)
    if look.now < alert.escalates_at or not condition.on[Stage.WARNING - 1]:
        return alert
    since = alert.escalates_at - ESCALATION_S
    text = look.words(Stage.WARNING, past_of(condition, Stage.WARNING, since))
    escalated = replace(
        alert,
        stage=Stage.ALARM,
        standing=Standing.UNACKNOWLEDGED,
        changed_at=look.now,
        value=look.value,
        text=said(text, alert.held),
        owed=Stage.ALARM,
        silenced_until=None,
        escalated=True,
        escalates_at=None,
        unanswered_since=since,
    )
    look.tell("escalated", escalated)
    return escalated
