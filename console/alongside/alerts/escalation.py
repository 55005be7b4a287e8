"""A warning on load or stretch that nobody acknowledges becomes an alarm."""

from dataclasses import replace
from typing import Final

from alongside.alerts.model import Alert, Condition, Standing
from alongside.alerts.observation import Observation, onset_of
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage

ESCALATING: Final[frozenset[Cause]] = frozenset({"load", "stretch"})
"""Causes whose warning becomes an alarm when nobody acknowledges it."""
ESCALATION_S: Final = 120.0

UNANSWERED: Final = (Standing.UNACKNOWLEDGED, Standing.SILENCED)


def escalated(alert: Alert | None, condition: Condition, seen: Observation) -> Alert | None:
    """Return the alert as it is after waiting for an answer; one that is just going does not escalate."""
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
    alarm = replace(
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
        alarm_since=seen.now,
    )
    seen.add("escalated", alarm, Stage.WARNING, onset_of(condition, Stage.WARNING, since))
    return alarm
