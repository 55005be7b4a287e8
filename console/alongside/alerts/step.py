"""One step of alerting: what stood before, what the rules say now, what the watch did; out comes what
stands and what happened, without its texts (`event_text`). Pure: `now` is an argument.

States and their changes are those of IMO bridge alert management, MSC.302(87). A step at an instant at
which no level changed, nothing was done, nothing was due (`next_due`) and nothing accepted is worse changes
nothing, so that a long block of instants needs steps only where something happens (`next_row`).
"""

from collections.abc import Mapping, Sequence
from math import inf
from typing import Final, TypeVar

import numpy as np
from numpy.typing import NDArray

from alongside.actions import Action
from alongside.alerts.acceptance import next_worse_row
from alongside.alerts.deeds import OpenWatchlist, do, end_silence, judge_acceptance, sound_again
from alongside.alerts.delays import QUIET, due_times
from alongside.alerts.model import Key, Standing, Watchlist
from alongside.alerts.observation import Change, Observation
from alongside.alerts.rule_model import AssessedInstant, Assessment
from alongside.alerts.rule_state import RuleState, follow
from alongside.stay.stage import Stage

FLOOD_S: Final = 600.0
FLOOD_ABOVE: Final = 10
"""More new alerts than this within `FLOOD_S` are a flood; it ends when they are fewer than `FLOOD_BELOW`."""
FLOOD_BELOW: Final = 5
SOUND_EVERY_S: Final[Mapping[Stage, float]] = {Stage.ALARM: 10.0, Stage.WARNING: 60.0}

Entry = TypeVar("Entry")


def step(
    watch: Watchlist, seen: AssessedInstant, actions: Sequence[Action] = ()
) -> tuple[Watchlist, tuple[Change, ...]]:
    """Return the watchlist at an instant, and what changed.

    `actions` take effect before the rules are looked at; those that do not concern alerts do nothing.
    Instants must not run backwards from step to step.
    """
    now = seen.time
    desk = OpenWatchlist.of(watch, now)
    sound_again(desk)  # first, so that whoever silences at the end of a silence silences all
    if actions:
        shown = {rule.key: (k, float(seen.value[k])) for k, rule in enumerate(seen.rules)}
        for action in actions:
            do(desk, action, shown)
    levels = seen.level.tolist()
    for k, rule in enumerate(seen.rules):
        key = rule.key
        if levels[k] or key in desk.conditions or key in desk.alerts or key in desk.accepted:
            value, keep = float(seen.value[k]), int(seen.keep[k])
            parts = seen.parts.get(k, 0)
            observation = Observation(now, k, rule, value, levels[k], keep, desk.changes, parts)
            _follow(desk, observation)
            judge_acceptance(desk, observation)
    end_silence(desk)
    new_times, flood = _flood(desk.new_times, watch.flood, now)
    after = Watchlist(
        desk.alerts, desk.conditions, desk.rises, new_times, flood, desk.announced, desk.accepted
    )
    return after, tuple(desk.changes)


def next_due(watch: Watchlist, now: float) -> float:
    """Return the earliest time after `now` at which a step may do something although no level changes and
    nobody does anything: a delay, a silence, a hold, an acceptance or a flood runs out, a warning escalates.
    Infinite where none is due. Never too late; a step at it may find nothing to do."""
    due: list[float] = []
    for key, condition in watch.conditions.items():
        alert = watch.alerts.get(key)
        due.extend(due_times(key[0], condition, Stage.NORMAL if alert is None else alert.value_stage))
    for alert in watch.alerts.values():
        clocks = (alert.silenced_until, alert.held_until, None if alert.suspended else alert.escalates_at)
        due.extend(clock for clock in clocks if clock is not None)
    due.extend(acceptance.until for acceptance in watch.accepted.values())
    if watch.flood:
        due.extend(time + FLOOD_S for time in watch.new_times)
    return min((time for time in due if time > now), default=inf)


def next_row(watch: Watchlist, assessment: Assessment, changed: NDArray[np.intp], row: int) -> int:
    """Return the next row after the one given at which a step may do something, where nobody does anything;
    the number of rows where there is none. `changed` are the `changed_rows` of the assessment."""
    times = assessment.time
    at = int(np.searchsorted(changed, row, side="right"))
    first = int(changed[at]) if at < changed.size else times.size
    due = int(np.searchsorted(times, next_due(watch, float(times[row]))))
    first = min(first, max(due, row + 1))
    return min(first, next_worse_row(assessment, watch.accepted, row)) if watch.accepted else first


def sounding(watch: Watchlist, now: float, since: float | None = None) -> Stage:
    """Return which sound is due after `since` (a second before where not given) and not after `now`; normal
    where none is. There is one beat, that of the worst stage that nobody has answered: alarms every 10 s,
    warnings every 60 s, from the last change of any of them on."""
    since = now - 1.0 if since is None else since
    calling = [
        alert
        for alert in watch.alerts.values()
        if alert.stage in SOUND_EVERY_S
        and alert.standing is Standing.UNACKNOWLEDGED
        and not (alert.suspended or alert.is_accepted)
    ]
    worst = max((alert.stage for alert in calling), default=Stage.NORMAL)
    if not worst:
        return worst
    begun = max(alert.changed_at for alert in calling if alert.stage is worst)
    every = SOUND_EVERY_S[worst]
    beats = (now - begun) // every
    return worst if beats >= 0.0 and begun + beats * every > since else Stage.NORMAL


def _follow(desk: OpenWatchlist, seen: Observation) -> None:
    key = seen.rule.key
    before = RuleState(
        desk.alerts.get(key),
        desk.conditions.get(key, QUIET),
        desk.rises.get(key, ()),
        desk.announced.get(key, ()),
    )
    after = follow(before, seen)
    if before.alert is None and after.alert is not None and key not in desk.accepted:
        recent = [time for time in desk.new_times if seen.now < time + FLOOD_S]
        desk.new_times = (*recent, seen.now)
    _put(desk.alerts, key, after.alert)
    idle = not any(after.condition.on) and (after.alert is None or not after.alert.active_stage)
    _put(desk.conditions, key, None if idle else after.condition)
    _put(desk.rises, key, after.rises or None)
    _put(desk.announced, key, after.announced or None)


def _put(table: dict[Key, Entry], key: Key, entry: Entry | None) -> None:
    if entry is None:
        table.pop(key, None)
    else:
        table[key] = entry


def _flood(new_times: tuple[float, ...], flood: bool, now: float) -> tuple[tuple[float, ...], bool]:
    """Whether too many alerts are new; their times are forgotten only where that is decided, so that a step
    with nothing to do leaves them as they are."""
    recent = sum(now < time + FLOOD_S for time in new_times)
    if flood and recent < FLOOD_BELOW:
        return tuple(time for time in new_times if now < time + FLOOD_S), False
    return new_times, flood or recent > FLOOD_ABOVE
