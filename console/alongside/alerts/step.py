"""One step of alerting: what stood before, what the rules say now, what the watch did; out comes what
stands and what happened, without its texts (`event_text`). Pure: `now` is an argument.

States and their changes are those of IMO bridge alert management, MSC.302(87). A step at an instant at
which no level changed, nothing was done and nothing was due (`next_due`) changes nothing, so that a long
block of instants needs steps only where something happens.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import Final, TypeVar

from alongside.actions import Acknowledge, Action, Silence
from alongside.alerts.model import Alert, Condition, Event, Key, Standing, Watchlist
from alongside.alerts.rule_model import AssessedInstant
from alongside.alerts.rule_state import (
    QUIET,
    UNANSWERED,
    Change,
    Observation,
    Rises,
    RuleState,
    due_times,
    event_of,
    follow,
)
from alongside.stay.causes import known_cause
from alongside.stay.stage import Stage

SILENCE_S: Final = 30.0
FLOOD_S: Final = 600.0
FLOOD_ABOVE: Final = 10
"""More new alerts than this within `FLOOD_S` are a flood; it ends when they are fewer than `FLOOD_BELOW`."""
FLOOD_BELOW: Final = 5
SOUND_EVERY_S: Final[Mapping[Stage, float]] = {Stage.ALARM: 10.0, Stage.WARNING: 60.0}

Entry = TypeVar("Entry")


@dataclass(slots=True)
class _Desk:
    """The watchlist opened for one step."""

    now: float
    alerts: dict[Key, Alert]
    conditions: dict[Key, Condition]
    rises: dict[Key, Rises]
    new_times: tuple[float, ...]
    changes: list[Change]


def step(
    watch: Watchlist, seen: AssessedInstant, actions: Sequence[Action] = ()
) -> tuple[Watchlist, tuple[Change, ...]]:
    """Return the watchlist at an instant, and what changed.

    Of `actions` only acknowledging and silencing concern alerts; they take effect before the rules are
    looked at. Instants must not run backwards from step to step.
    """
    now = seen.time
    desk = _Desk(now, dict(watch.alerts), dict(watch.conditions), dict(watch.rises), watch.new_times, [])
    for action in actions:
        if isinstance(action, Acknowledge):
            _acknowledge(desk, action)
        elif isinstance(action, Silence):
            _silence(desk, action)
    _sound_again(desk)
    levels = seen.level.tolist()
    for k, rule in enumerate(seen.rules):
        if levels[k] or rule.key in desk.conditions or rule.key in desk.alerts:
            value, keep = float(seen.value[k]), int(seen.keep[k])
            _follow(desk, Observation(now, k, rule, value, levels[k], keep, desk.changes))
    new_times, flood = _flood(desk.new_times, watch.flood, now)
    after = Watchlist(desk.alerts, desk.conditions, desk.rises, new_times, flood)
    return after, tuple(desk.changes)


def next_due(watch: Watchlist, now: float) -> float:
    """Return the earliest time after `now` at which a step may do something although no level changes and
    nobody does anything: a delay, a silence, a hold or a flood runs out, a warning escalates. Infinite where
    none is due. Never too late; a step at it may find nothing to do."""
    due: list[float] = []
    for key, condition in watch.conditions.items():
        alert = watch.alerts.get(key)
        due.extend(due_times(key[0], condition, Stage.NORMAL if alert is None else alert.value_stage))
    for alert in watch.alerts.values():
        clocks = (alert.silenced_until, alert.held_until, None if alert.suspended else alert.escalates_at)
        due.extend(clock for clock in clocks if clock is not None)
    if watch.flood:
        due.extend(time + FLOOD_S for time in watch.new_times)
    return min((time for time in due if time > now), default=inf)


def sounding(watch: Watchlist, now: float, since: float | None = None) -> Stage:
    """Return which sound is due after `since` (a second before where not given) and not after `now`: the
    worst stage of an active unacknowledged alert whose beat falls there, else normal. Beats run from the last
    change of the alert on: alarms every 10 s, warnings every 60 s."""
    since = now - 1.0 if since is None else since
    due = Stage.NORMAL
    for alert in watch.alerts.values():
        every = SOUND_EVERY_S.get(alert.stage)
        if every is None or alert.suspended or alert.standing is not Standing.UNACKNOWLEDGED:
            continue
        beats = (now - alert.changed_at) // every
        if beats >= 0.0 and alert.changed_at + beats * every > since:
            due = max(due, alert.stage)
    return due


def _follow(desk: _Desk, seen: Observation) -> None:
    key = seen.rule.key
    before = RuleState(desk.alerts.get(key), desk.conditions.get(key, QUIET), desk.rises.get(key, ()))
    after = follow(before, seen)
    if before.alert is None and after.alert is not None:
        recent = [time for time in desk.new_times if seen.now < time + FLOOD_S]
        desk.new_times = (*recent, seen.now)
    _put(desk.alerts, key, after.alert)
    idle = not any(after.condition.on) and (after.alert is None or not after.alert.active_stage)
    _put(desk.conditions, key, None if idle else after.condition)
    _put(desk.rises, key, after.rises or None)


def _put(table: dict[Key, Entry], key: Key, entry: Entry | None) -> None:
    if entry is None:
        table.pop(key, None)
    else:
        table[key] = entry


def _acknowledge(desk: _Desk, action: Acknowledge) -> None:
    """Acknowledge one alert, where there is something to acknowledge: a caution that never was more needs
    none. One that is rectified already goes."""
    cause = known_cause(action.cause)
    alert = None if cause is None else desk.alerts.get((cause, action.subject))
    if alert is None or not alert.owed:
        return
    answered = replace(
        alert,
        standing=Standing.ACKNOWLEDGED,
        changed_at=desk.now,
        owed=Stage.NORMAL,
        silenced_until=None,
        escalated=False,
        escalates_at=None,
        unanswered_since=None,
    )
    desk.changes.append(Change(event_of(desk.now, "acknowledged", alert), alert, by=action.by))
    if alert.standing is Standing.RECTIFIED:
        desk.changes.append(Change(event_of(desk.now, "cleared", alert), alert))
        del desk.alerts[alert.key]
    else:
        desk.alerts[alert.key] = answered


def _silence(desk: _Desk, action: Silence) -> None:
    """Silence all that sounds now; what is raised later sounds again. One event for the one key."""
    sounding_now = [
        alert
        for alert in desk.alerts.values()
        if alert.standing is Standing.UNACKNOWLEDGED and alert.stage > Stage.CAUTION and not alert.suspended
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
        desk.changes.append(Change(event, None, by=action.by, count=len(sounding_now)))


def _sound_again(desk: _Desk) -> None:
    """A silence that has run out: an alarm sounds again, a warning stays silent until it changes."""
    for key, alert in desk.alerts.items():
        if alert.silenced_until is None or desk.now < alert.silenced_until:
            continue
        again = alert.stage is Stage.ALARM and alert.standing in UNANSWERED
        standing = Standing.UNACKNOWLEDGED if again else alert.standing
        changed = desk.now if again else alert.changed_at
        desk.alerts[key] = replace(alert, standing=standing, changed_at=changed, silenced_until=None)


def _flood(new_times: tuple[float, ...], flood: bool, now: float) -> tuple[tuple[float, ...], bool]:
    """Whether too many alerts are new; their times are forgotten only where that is decided, so that a step
    with nothing to do leaves them as they are."""
    recent = sum(now < time + FLOOD_S for time in new_times)
    if flood and recent < FLOOD_BELOW:
        return tuple(time for time in new_times if now < time + FLOOD_S), False
    return new_times, flood or recent > FLOOD_ABOVE
