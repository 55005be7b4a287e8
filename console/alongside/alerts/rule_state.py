"""One rule through time: what becomes of its alert. No text is made here.

When a stage is called for and for how long it must last is decided in `delays`, what comes and goes in
`coming_and_going`, what waiting does in `escalation`; here the alert is raised, worsens, eases and ends.
"""

from dataclasses import dataclass, replace

from alongside.alerts.coming_and_going import (
    HOLD_S,
    Hold,
    Rises,
    announced_before,
    held_again,
    hold_of,
    is_answered,
    parts_of,
    rises_of,
    with_announcement,
)
from alongside.alerts.delays import QUIET, followed, lasting, remaining
from alongside.alerts.escalation import escalated
from alongside.alerts.model import Alert, Announcement, Condition, Onset, Standing
from alongside.alerts.observation import Change, Observation, event_of, onset_of
from alongside.stay.stage import Stage


@dataclass(frozen=True, slots=True)
class RuleState:
    """All that is remembered of one rule."""

    alert: Alert | None = None
    condition: Condition = QUIET
    rises: Rises = ()
    announced: tuple[Announcement, ...] = ()


def follow(state: RuleState, seen: Observation) -> RuleState:
    """Return the state of one rule at the instant of an observation."""
    if not seen.known:
        return _suspended(state, seen.now)
    alert, announced = _resumed(state.alert, seen.now), state.announced
    condition = followed(state.condition, seen)
    rises, rose, chattering = rises_of(state.rises, state.condition, condition, seen.now)
    hold = hold_of(alert, rose, chattering, seen.now)
    stood = Stage.NORMAL if alert is None else alert.value_stage
    reached = max(lasting(condition, seen, stood), chattering)
    if reached > stood:
        before = announced_before(announced, reached, seen.now)
        onset = onset_of(condition, reached)
        value = seen.value if seen.level >= reached else onset.was
        quiet = _owes_nothing(alert) and is_answered(before, reached, value, seen)
        hold = held_again(before, hold, seen.now)
        alert = _risen(alert, onset, reached, value, hold, quiet, seen)
        announced = with_announcement(announced, reached, value, quiet, seen)
    elif alert is not None:
        alert = _holding(alert, condition, hold, seen)
        alert = alert if alert.held else _eased(alert, condition, seen)
        if alert is not None and _is_more(alert, state, seen):
            alert = _more(alert, condition, seen)
            announced = with_announcement(announced, alert.stage, seen.value, False, seen)
    return RuleState(escalated(alert, condition, seen), condition, rises, announced)


def _is_more(alert: Alert, state: RuleState, seen: Observation) -> bool:
    """Return whether a part that was well calls for a warning or an alarm too, and did not within the last
    quarter of an hour."""
    if alert.value_stage <= Stage.CAUTION:
        return False
    came = seen.parts & ~state.condition.parts
    return bool(came & ~parts_of(announced_before(state.announced, Stage.WARNING, seen.now)))


def _more(alert: Alert, condition: Condition, seen: Observation) -> Alert:
    """The alert, of which a further part calls for the stage at which it stands: it must be acknowledged
    again."""
    worse = replace(
        alert,
        standing=Standing.UNACKNOWLEDGED,
        changed_at=seen.now,
        value=seen.value,
        silenced_until=None,
        owed=max(alert.owed, alert.stage),
        alarm_since=_alarm_since(alert, alert.stage, True, seen.now),
        transferred=False,
    )
    stage = alert.value_stage
    onset = replace(onset_of(condition, stage, alert.unanswered_since), rising=True)
    seen.add("worsened", worse, stage, onset)
    return worse


def _owes_nothing(alert: Alert | None) -> bool:
    return alert is None or not alert.owed


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


def _risen(
    alert: Alert | None,
    onset: Onset,
    stage: Stage,
    value: float,
    hold: Hold | None,
    quiet: bool,
    seen: Observation,
) -> Alert:
    """Raised, or worsened. An alert that worsens must be acknowledged again, unless it was just before
    (`quiet`). Its value is one that reaches the limit: that of now, or where that is better again, the one
    with which the limit was reached."""
    anew = alert is None or alert.standing is Standing.RECTIFIED
    owed = Stage.NORMAL if alert is None else alert.owed
    stands = None if anew else alert
    waits = stage > Stage.CAUTION and not quiet
    onset = replace(onset, unanswered_since=None if stands is None else stands.unanswered_since, rising=True)
    risen = Alert(
        cause=seen.rule.cause,
        subject=seen.rule.subject,
        line=seen.rule.line,
        stage=stage,
        standing=Standing.ACKNOWLEDGED if quiet else Standing.UNACKNOWLEDGED,
        raised_at=seen.now if stands is None else stands.raised_at,
        changed_at=seen.now,
        value=value,
        limit=seen.limit(stage),
        unit=seen.rule.unit,
        text="",
        held=hold is not None,
        held_until=None if hold is None else hold.until,
        held_for=HOLD_S if hold is None else hold.lasts,
        owed=max(owed, stage) if waits else owed,
        unanswered_since=onset.unanswered_since,
        alarm_since=_alarm_since(stands, stage, waits, seen.now),
    )
    seen.add("raised" if anew else "worsened", risen, stage, onset)
    if quiet and stage > Stage.CAUTION:
        event = event_of(seen.now, "acknowledged", risen)
        seen.changes.append(Change(event, risen, why="when it was raised before, no worse"))
    return risen


def _alarm_since(stands: Alert | None, stage: Stage, waits: bool, now: float) -> float | None:
    """Since when an alarm has waited for an answer: it may have eased meanwhile."""
    before = None if stands is None else stands.alarm_since
    return now if before is None and waits and stage is Stage.ALARM else before


def _holding(alert: Alert, condition: Condition, hold: Hold | None, seen: Observation) -> Alert:
    """The alert with the time until which it is held active; its text says whether it is."""
    held, until = hold is not None, None if hold is None else hold.until
    lasts = alert.held_for if hold is None else hold.lasts
    if held == alert.held:
        same = until == alert.held_until and lasts == alert.held_for
        return alert if same else replace(alert, held_until=until, held_for=lasts)
    after = replace(alert, held=held, held_until=until, held_for=lasts, value=seen.value)
    stage = alert.value_stage
    seen.add(None, after, stage, onset_of(condition, stage, alert.unanswered_since))
    return after


def _eased(alert: Alert, condition: Condition, seen: Observation) -> Alert | None:
    """Eased, rectified or cleared, as far as the off-delay has run out. None: cleared."""
    if alert.standing is Standing.RECTIFIED:
        return alert
    stage = remaining(alert.cause, condition, seen.now, alert.stage)
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
        alarm_since=None,
    )
    seen.add("rectified", rectified, Stage.NORMAL, Onset())
    return rectified
