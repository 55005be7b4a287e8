"""Alerts that the watch accepts for a time, with a reason: which ones, and what ends an acceptance.

An accepted alert goes on by its condition, and only by that; it is listed and counted, without headline,
colour and sound.
"""

from collections.abc import Mapping
from dataclasses import replace
from math import isfinite
from typing import Final

import numpy as np

from alongside.actions import Accept, TakeOver
from alongside.alerts.model import Acceptance, Alert, Key, Standing
from alongside.alerts.observation import Observation
from alongside.alerts.rule_model import Assessment
from alongside.alerts.worse import is_worse, worse_from
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage

MOST_ACCEPTED_S: Final = 12 * 3600.0
ALARMS_ACCEPTED: Final[frozenset[Cause]] = frozenset({"steep", "slack", "tension", "gangway"})
"""Causes of which an alarm too may be accepted; of all others a caution or a warning."""

TIME_UP: Final = "its time is up"
STAGE_WORSE: Final = "it worsened"
VALUE_WORSE: Final = "its value is worse"
MORE_PARTS: Final = "there is more to it"
WATCH_CHANGED: Final = "the watch changed"


def why_not_accepted(alert: Alert | None) -> str:
    """Return why an alert cannot be accepted; "" where it can."""
    if alert is None or alert.standing is Standing.RECTIFIED:
        return "the alert is gone"
    if alert.suspended:
        return "its value is not known"
    if alert.stage is Stage.ALARM and alert.cause not in ALARMS_ACCEPTED:
        return "an alarm of this cause cannot be accepted: acknowledge it and act"
    return ""


def why_not_until(until: float, now: float) -> str:
    """Return why an alert cannot be accepted until a time; "" where it can."""
    if not now < until <= now + MOST_ACCEPTED_S:
        return "expected a time to come, within 12 h"
    return ""


def acceptance_of(
    action: Accept, alert: Alert | None, value: float, parts: int, now: float
) -> Acceptance | None:
    """Return the acceptance that an action comes to, `value` and `parts` being those of now; None where it is
    none."""
    if why_not_accepted(alert) or why_not_until(action.until, now) or not (action.reason and action.by):
        return None
    assert alert is not None
    value = value if isfinite(value) else alert.value
    return Acceptance(alert.stage, value, action.until, action.reason, action.by, now, parts)


def accepted_anew(acceptance: Acceptance, action: TakeOver, now: float) -> Acceptance | None:
    """Return the acceptance of whoever takes over the watch; None where they do not accept anew."""
    return replace(acceptance, by=action.by, at=now) if action.accepts else None


def answered(alert: Alert, acceptance: Acceptance | None) -> Alert:
    """Return an alert that has been acknowledged; it is accepted where `acceptance` is not None."""
    return replace(
        alert,
        standing=Standing.ACKNOWLEDGED,
        owed=Stage.NORMAL,
        silenced_until=None,
        escalated=False,
        escalates_at=None,
        unanswered_since=None,
        alarm_since=None,
        acceptance=acceptance,
    )


def no_longer_accepted(alert: Alert, now: float) -> Alert:
    """Return an alert whose acceptance has ended: it asks to be acknowledged as one that is raised."""
    owed = alert.stage if alert.stage > Stage.CAUTION else Stage.NORMAL
    return replace(
        alert,
        standing=Standing.UNACKNOWLEDGED,
        changed_at=now,
        owed=owed,
        alarm_since=now if alert.stage is Stage.ALARM else None,
        acceptance=None,
    )


def why_ended(acceptance: Acceptance, alert: Alert | None, seen: Observation) -> str:
    """Return why an acceptance ends now; "" where it goes on."""
    if seen.now >= acceptance.until:
        return TIME_UP
    if alert is None or not alert.active_stage or alert.suspended:
        return ""
    if alert.stage > acceptance.stage:
        return STAGE_WORSE
    if seen.parts & ~acceptance.parts:
        return MORE_PARTS
    return VALUE_WORSE if is_worse(seen.rule, acceptance.stage, seen.value, acceptance.value) else ""


def next_worse_row(assessment: Assessment, accepted: Mapping[Key, Acceptance], row: int) -> int:
    """Return the first row after the one given at which a value is worse than accepted; the number of rows
    where there is none."""
    first: int = assessment.time.size
    for k, rule in enumerate(assessment.rules):
        acceptance = accepted.get(rule.key)
        if acceptance is not None:
            limit = rule.sense * worse_from(rule, acceptance.stage, acceptance.value)
            worse = np.flatnonzero(rule.sense * assessment.value[row + 1 : first, k] >= limit)
            first = row + 1 + int(worse[0]) if worse.size else first
    return first
