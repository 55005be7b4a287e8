"""What the watch does to alerts: acknowledge, accept, silence, take over; and how long that lasts."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import isnan, nan
from typing import Final

from alongside.actions import Accept, Acknowledge, Action, AnswerBrake, Silence, TakeOver
from alongside.alerts import acceptance as accepting
from alongside.alerts.coming_and_going import Rises, answered
from alongside.alerts.delays import QUIET
from alongside.alerts.escalation import UNANSWERED
from alongside.alerts.model import (
    Acceptance,
    Alert,
    Announcement,
    Condition,
    Event,
    Key,
    Standing,
    Watchlist,
)
from alongside.alerts.observation import Change, Observation, Wording, event_of, onset_of
from alongside.stay.causes import known_cause
from alongside.stay.stage import Stage

SILENCE_S: Final = 30.0


@dataclass(slots=True)
class OpenWatchlist:
    """The watchlist opened for one step."""

    now: float
    alerts: dict[Key, Alert]
    conditions: dict[Key, Condition]
    rises: dict[Key, Rises]
    announced: dict[Key, tuple[Announcement, ...]]
    accepted: dict[Key, Acceptance]
    new_times: tuple[float, ...]
    changes: list[Change]

    @classmethod
    def of(cls, watch: Watchlist, now: float) -> "OpenWatchlist":
        return cls(
            now,
            dict(watch.alerts),
            dict(watch.conditions),
            dict(watch.rises),
            dict(watch.announced),
            dict(watch.accepted),
            watch.new_times,
            [],
        )


Shown = Mapping[Key, tuple[int, float]]
"""Place of a rule and its value now, by (cause, subject)."""


def do(desk: OpenWatchlist, action: Action, shown: Shown) -> None:
    """Do what an action does to alerts, as they are `shown`."""
    match action:
        case Acknowledge():
            _acknowledge(desk, action, shown)
        case Accept():
            _accept(desk, action, shown)
        case Silence():
            _silence(desk, action)
        case TakeOver():
            _take_over(desk, action)
        case AnswerBrake():
            # That question is answered. Where the line is over its brake again, that is a new one: it rings.
            desk.announced.pop(("brake", action.line), None)


def sound_again(desk: OpenWatchlist) -> None:
    """End a silence that has run out: an alarm sounds again, a warning stays silent until it changes."""
    for key, alert in desk.alerts.items():
        if alert.silenced_until is None or desk.now < alert.silenced_until:
            continue
        again = alert.stage is Stage.ALARM and alert.standing in UNANSWERED
        standing = Standing.UNACKNOWLEDGED if again else alert.standing
        changed = desk.now if again else alert.changed_at
        desk.alerts[key] = replace(alert, standing=standing, changed_at=changed, silenced_until=None)


def end_silence(desk: OpenWatchlist) -> None:
    """End a silence that still lasts where an alarm is new or has worsened: all that it silenced sounds."""
    if not any(_is_new_alarm(desk, change) for change in desk.changes):
        return
    for key, alert in desk.alerts.items():
        if alert.silenced_until is not None and alert.standing is Standing.SILENCED:
            desk.alerts[key] = replace(alert, standing=Standing.UNACKNOWLEDGED, silenced_until=None)


def _is_new_alarm(desk: OpenWatchlist, change: Change) -> bool:
    if change.event is None or change.alert is None:
        return False
    if change.event.event not in ("raised", "worsened", "escalated"):
        return False
    alert = desk.alerts.get(change.alert.key)
    return alert is not None and alert.stage is Stage.ALARM and alert.standing is Standing.UNACKNOWLEDGED


def judge_acceptance(desk: OpenWatchlist, seen: Observation) -> None:
    """Go on with the acceptance of a rule's alert, or end it."""
    key = seen.rule.key
    acceptance = desk.accepted.get(key)
    if acceptance is None:
        return
    alert = desk.alerts.get(key)
    why = accepting.why_ended(acceptance, alert, seen)
    if why:
        _end_acceptance(desk, key, why)
    elif alert is not None and alert.active_stage and alert.acceptance != acceptance:
        alert = desk.alerts[key] = accepting.answered(alert, acceptance)
        desk.changes.append(Change(event_of(desk.now, "accepted", alert), alert, by=acceptance.by))


def _end_acceptance(desk: OpenWatchlist, key: Key, why: str) -> None:
    del desk.accepted[key]
    alert = desk.alerts.get(key)
    if alert is None or not alert.active_stage:
        return
    # One that has worsened is unanswered already, unless a worse one was answered before it was accepted:
    # what was accepted was less, so it is asked again.
    if why != accepting.STAGE_WORSE or alert.standing is Standing.ACKNOWLEDGED:
        alert = desk.alerts[key] = accepting.no_longer_accepted(alert, desk.now)
    desk.changes.append(Change(event_of(desk.now, "acceptance_ended", alert), alert, why=why))


def _named(desk: OpenWatchlist, cause: str, subject: str) -> Alert | None:
    known = known_cause(cause)
    return None if known is None else desk.alerts.get((known, subject))


def _acknowledge(desk: OpenWatchlist, action: Acknowledge, shown: Shown) -> None:
    """Acknowledge one alert, where there is something to acknowledge: a caution that never was more needs
    none. One that is rectified already goes."""
    alert = _named(desk, action.cause, action.subject)
    if alert is None or not alert.owed:
        return
    desk.announced[alert.key] = answered(desk.announced.get(alert.key, ()))
    wording = _as_shown(desk, alert, shown)
    seen = alert if wording is None else replace(alert, value=shown[alert.key][1])
    desk.changes.append(Change(event_of(desk.now, "acknowledged", seen), alert, wording, by=action.by))
    if alert.standing is Standing.RECTIFIED:
        desk.changes.append(Change(event_of(desk.now, "cleared", alert), alert))
        del desk.alerts[alert.key]
    else:
        done = accepting.answered(alert, None)
        desk.alerts[alert.key] = replace(done, changed_at=desk.now, transferred=action.transferred)


def _accept(desk: OpenWatchlist, action: Accept, shown: Shown) -> None:
    """Accept one alert, where it can be; whoever accepts has seen it."""
    alert = _named(desk, action.cause, action.subject)
    _, value = (0, nan) if alert is None else shown.get(alert.key, (0, nan))
    parts = 0 if alert is None else desk.conditions.get(alert.key, QUIET).parts
    acceptance = accepting.acceptance_of(action, alert, value, parts, desk.now)
    if alert is None or acceptance is None:
        return
    desk.announced[alert.key] = answered(desk.announced.get(alert.key, ()))
    _put_accepted(desk, alert.key, acceptance, _as_shown(desk, alert, shown))


def _as_shown(desk: OpenWatchlist, alert: Alert, shown: Shown) -> Wording | None:
    """Return what the text of an alert is made from as the watch sees it: with the value of now, and not of
    when it was raised. None where it keeps the text that it has."""
    place, value = shown.get(alert.key, (0, nan))
    if alert.suspended or alert.standing is Standing.RECTIFIED or isnan(value):
        return None
    stage = alert.value_stage
    onset = onset_of(desk.conditions.get(alert.key, QUIET), stage, alert.unanswered_since)
    return Wording(place, stage, onset)


def _put_accepted(
    desk: OpenWatchlist, key: Key, acceptance: Acceptance, wording: Wording | None = None
) -> None:
    desk.accepted[key] = acceptance
    alert = desk.alerts.get(key)
    if alert is not None:
        alert = desk.alerts[key] = replace(accepting.answered(alert, acceptance), changed_at=desk.now)
        seen = alert if wording is None else replace(alert, value=acceptance.value)
        desk.changes.append(Change(event_of(desk.now, "accepted", seen), alert, wording, by=acceptance.by))


def _take_over(desk: OpenWatchlist, action: TakeOver) -> None:
    """Ask whoever takes over the watch anew: what was accepted and is not accepted by them, and what was
    acknowledged and has gone meanwhile."""
    for key, announced in desk.announced.items():
        desk.announced[key] = answered(announced, by_somebody=False)
    for key, acceptance in list(desk.accepted.items()):
        anew = accepting.accepted_anew(acceptance, action, desk.now)
        if anew is None:
            _end_acceptance(desk, key, accepting.WATCH_CHANGED)
        else:
            _put_accepted(desk, key, anew)


def _silence(desk: OpenWatchlist, action: Silence) -> None:
    """Silence all that sounds now, or the one alert that is named; what is raised later sounds again. One
    event for the one key."""
    named = _named(desk, action.cause, action.subject) if action.cause else None
    sounding_now = [
        alert
        for alert in desk.alerts.values()
        if alert.standing is Standing.UNACKNOWLEDGED
        and alert.stage > Stage.CAUTION
        and not alert.suspended
        and (not action.cause or alert is named)
    ]
    for alert in sounding_now:
        desk.alerts[alert.key] = replace(
            alert,
            standing=Standing.SILENCED,
            changed_at=desk.now,
            silenced_until=desk.now + SILENCE_S,
        )
    if sounding_now:
        worst = max(alert.stage for alert in sounding_now)
        event = Event(desk.now, "silenced", stage=worst)
        if named is not None:
            event = event_of(desk.now, "silenced", named)
        desk.changes.append(Change(event, named, by=action.by, count=len(sounding_now)))
