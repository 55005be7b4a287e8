"""One rule through time: what it calls for, for how long, what becomes of its alert. No text is made here.

Deadband first, delays after: a stage is called for from its limit on until the value is better than the eased
limit (`keep`), and only then do the clocks of the delays run. So noise about a limit neither restarts a delay
nor makes an alert come and go.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import inf, isfinite, isnan, nan
from typing import Final

from alongside.alerts.model import Alert, Condition, Event, EventWord, Onset, Standing
from alongside.alerts.rule_model import Rule
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage

STAGES: Final = (Stage.CAUTION, Stage.WARNING, Stage.ALARM)

ON_DELAY_S: Final = (15.0, 15.0, 5.0)
"""How long a caution, warning, alarm must last before it is raised. An alarm never waits longer."""
SLOW_ON_DELAY_S: Final = (60.0, 15.0, 5.0)
"""The same for slow values."""
OFF_DELAY_S: Final = 60.0
CAUTION_OFF_DELAY_S: Final[dict[Cause, float]] = {"slack": 300.0, "holding": 600.0}
"""Causes that follow the wind come and go with its gusts for hours: their cautions stand until a lull has
lasted. Ten minutes is the time over which a mean wind is taken."""

ESCALATING: Final[frozenset[Cause]] = frozenset({"load", "stretch"})
"""Causes whose warning becomes an alarm when nobody acknowledges it."""
ESCALATION_S: Final = 120.0
CHATTER_RISES: Final = 3
CHATTER_S: Final = 60.0
HOLD_S: Final = 300.0
"""An alert that comes and goes is held active until its condition has not come on anew for this long."""

UNANSWERED: Final = (Standing.UNACKNOWLEDGED, Standing.SILENCED)
QUIET: Final = Condition((False, False, False), (-inf, -inf, -inf))

Rises = tuple[tuple[Stage, float], ...]


@dataclass(frozen=True, slots=True)
class RuleState:
    """All that is remembered of one rule."""

    alert: Alert | None = None
    condition: Condition = QUIET
    rises: Rises = ()


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
    Silence has no alert, but a count of alerts; `by` is who acknowledged or silenced."""

    event: Event | None
    alert: Alert | None
    wording: Wording | None = None
    by: str = ""
    count: int = 0


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


def follow(state: RuleState, seen: Observation) -> RuleState:
    """Return the state of one rule at the instant of an observation."""
    if not seen.known:
        return _suspended(state, seen.now)
    alert = _resumed(state.alert, seen.now)
    condition = _followed(state.condition, seen)
    rises, chattering = _rises(state, condition, seen.now)
    held_until = _held_until(alert, chattering, rises is not state.rises, seen.now)
    stood = Stage.NORMAL if alert is None else alert.value_stage
    reached = max(_lasting(condition, seen, stood), chattering)
    if reached > stood:
        alert = _risen(alert, condition, reached, held_until, seen)
    elif alert is not None:
        alert = _holding(alert, condition, held_until, seen)
        alert = alert if alert.held else _eased(alert, condition, seen)
    return RuleState(_escalated(alert, condition, seen), condition, rises)


def onset_of(condition: Condition, stage: Stage, unanswered_since: float | None = None) -> Onset:
    """Return with what value a stage was reached, and since when nobody has answered."""
    return Onset(condition.reached[stage - 1] if stage else nan, unanswered_since)


def due_times(cause: Cause, condition: Condition, stage: Stage) -> Iterable[float]:
    """Return every time at which a stage may be raised or eased for an alert that stands at `stage`."""
    for at in STAGES:
        on, since = condition.on[at - 1], condition.since[at - 1]
        if at > stage and on:
            yield since + ON_DELAY_S[at - 1]
            yield since + SLOW_ON_DELAY_S[at - 1]
        elif at <= stage and not on:
            yield since + _off_delay(cause, at)


def _off_delay(cause: Cause, stage: Stage) -> float:
    """How long a stage must not have been called for before it eases, s."""
    return CAUTION_OFF_DELAY_S.get(cause, OFF_DELAY_S) if stage is Stage.CAUTION else OFF_DELAY_S


def _suspended(state: RuleState, now: float) -> RuleState:
    """The input is lost: what stands is suspended, what was on its way is forgotten, clocks start anew."""
    alert = state.alert
    if alert is None or alert.standing is Standing.RECTIFIED:
        return replace(state, condition=QUIET)
    if alert.suspended:
        return state
    stood = alert.value_stage
    condition = Condition((stood >= 1, stood >= 2, stood >= 3), (now, now, now), state.condition.reached)
    return replace(state, alert=replace(alert, suspended=True, suspended_at=now), condition=condition)


def _resumed(alert: Alert | None, now: float) -> Alert | None:
    """The input is back: the alert goes on where it stood; the time without input does not count."""
    if alert is None or not alert.suspended:
        return alert
    without = 0.0 if alert.suspended_at is None else now - alert.suspended_at
    due = None if alert.escalates_at is None else alert.escalates_at + without
    return replace(alert, suspended=False, suspended_at=None, escalates_at=due)


def _followed(before: Condition, seen: Observation) -> Condition:
    """The condition after one more observation; the same object where nothing changed."""
    on = tuple(
        seen.level >= at or (was and seen.keep >= at) for at, was in zip(STAGES, before.on, strict=True)
    )
    if on == before.on:
        return before
    rows = zip(on, before.on, before.since, before.reached, strict=True)
    after = [
        (since if now_on == was else seen.now, seen.value if now_on and not was else reached)
        for now_on, was, since, reached in rows
    ]
    (first, second, third) = after
    return Condition((on[0], on[1], on[2]), (first[0], second[0], third[0]), (first[1], second[1], third[1]))


def _rises(state: RuleState, condition: Condition, now: float) -> tuple[Rises, Stage]:
    """Latest rises with those of now, and the worst stage that rose for the third time within a minute."""
    new = [at for at in STAGES if condition.on[at - 1] and not state.condition.on[at - 1]]
    if not new:
        return state.rises, Stage.NORMAL
    recent = tuple((stage, at) for stage, at in state.rises if at >= now - CHATTER_S)
    rises = recent + tuple((stage, now) for stage in new)
    often = [stage for stage in new if sum(one is stage for one, _at in rises) >= CHATTER_RISES]
    return rises, max(often, default=Stage.NORMAL)


def _held_until(alert: Alert | None, chattering: Stage, rose: bool, now: float) -> float | None:
    """Until when the alert is held active; None for one that does not come and go."""
    before = None if alert is None else alert.held_until
    if chattering or (before is not None and rose):
        return now + HOLD_S
    return before if before is not None and now < before else None


def _lasting(condition: Condition, seen: Observation, above: Stage) -> Stage:
    """Worst stage above the given one whose on-delay has run out; the given one where there is none."""
    delays = SLOW_ON_DELAY_S if seen.rule.slow else ON_DELAY_S
    due = [
        at
        for at in STAGES[above:]
        if condition.on[at - 1] and seen.now >= condition.since[at - 1] + delays[at - 1]
    ]
    return max(due, default=above)


def _remaining(cause: Cause, condition: Condition, now: float, stage: Stage) -> Stage:
    """The worst stage, up to the one given, that has not been off for the whole off-delay."""
    for at in reversed(STAGES[:stage]):
        if condition.on[at - 1] or now < condition.since[at - 1] + _off_delay(cause, at):
            return at
    return Stage.NORMAL


def _risen(
    alert: Alert | None, condition: Condition, stage: Stage, held_until: float | None, seen: Observation
) -> Alert:
    """Raised, or worsened. An alert that worsens must be acknowledged again. Its value is one that reaches
    the limit: that of now, or where that is better again, the one with which the limit was reached."""
    anew = alert is None or alert.standing is Standing.RECTIFIED
    owed = Stage.NORMAL if alert is None else alert.owed
    since = None if alert is None or anew else alert.unanswered_since
    onset = onset_of(condition, stage, since)
    risen = Alert(
        cause=seen.rule.cause,
        subject=seen.rule.subject,
        line=seen.rule.line,
        stage=stage,
        standing=Standing.UNACKNOWLEDGED,
        raised_at=seen.now if alert is None or anew else alert.raised_at,
        changed_at=seen.now,
        value=seen.value if seen.level >= stage else onset.was,
        limit=seen.limit(stage),
        unit=seen.rule.unit,
        text="",
        held=held_until is not None,
        held_until=held_until,
        owed=max(owed, stage) if stage > Stage.CAUTION else owed,
        unanswered_since=since,
    )
    seen.add("raised" if anew else "worsened", risen, stage, replace(onset, rising=True))
    return risen


def _holding(alert: Alert, condition: Condition, held_until: float | None, seen: Observation) -> Alert:
    """The alert with the time until which it is held active; its text says whether it is."""
    held = held_until is not None
    if held == alert.held:
        return alert if held_until == alert.held_until else replace(alert, held_until=held_until)
    after = replace(alert, held=held, held_until=held_until, value=seen.value)
    stage = alert.value_stage
    seen.add(None, after, stage, onset_of(condition, stage, alert.unanswered_since))
    return after


def _eased(alert: Alert, condition: Condition, seen: Observation) -> Alert | None:
    """Eased, rectified or cleared, as far as the off-delay has run out. None: cleared."""
    if alert.standing is Standing.RECTIFIED:
        return alert
    stage = _remaining(alert.cause, condition, seen.now, alert.stage)
    if stage is alert.stage:
        return alert
    if stage is Stage.NORMAL:
        return _rectified(alert, seen)
    if alert.escalated:
        return alert  # an alarm made by waiting stays one until somebody answers
    eased = replace(
        alert,
        stage=stage,
        changed_at=seen.now,
        value=seen.value,
        limit=seen.limit(stage),
        unanswered_since=None,
    )
    seen.add("eased", eased, stage, onset_of(condition, stage))
    return eased


def _rectified(alert: Alert, seen: Observation) -> Alert | None:
    """The condition is gone: what nobody has acknowledged stays in the list until somebody does."""
    if not alert.owed:
        seen.add("cleared", replace(alert, value=seen.value), Stage.NORMAL, Onset())
        return None
    rectified = replace(
        alert,
        stage=alert.owed,
        standing=Standing.RECTIFIED,
        changed_at=seen.now,
        value=seen.value,
        limit=seen.limit(alert.owed),
        silenced_until=None,
        escalated=False,
        unanswered_since=None,
    )
    seen.add("rectified", rectified, Stage.NORMAL, Onset())
    return rectified


def _escalated(alert: Alert | None, condition: Condition, seen: Observation) -> Alert | None:
    """A warning on load or stretch that nobody acknowledges becomes an alarm, unless it is just going."""
    if alert is None:
        return None
    waits = alert.stage is Stage.WARNING and alert.standing in UNANSWERED and alert.cause in ESCALATING
    if not waits:
        return alert if alert.escalates_at is None else replace(alert, escalates_at=None)
    if alert.escalates_at is None:
        return replace(alert, escalates_at=seen.now + ESCALATION_S)
    if seen.now < alert.escalates_at or not condition.on[Stage.WARNING - 1]:
        return alert
    since = alert.escalates_at - ESCALATION_S
    escalated = replace(
        alert,
        stage=Stage.ALARM,
        standing=Standing.UNACKNOWLEDGED,
        changed_at=seen.now,
        value=seen.value,
        owed=Stage.ALARM,
        silenced_until=None,
        escalated=True,
        escalates_at=None,
        unanswered_since=since,
    )
    seen.add("escalated", escalated, Stage.WARNING, onset_of(condition, Stage.WARNING, since))
    return escalated
