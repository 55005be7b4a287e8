"""The cycle: readings in, everything known out. Pure: it knows no clock, file, thread or screen.

One function serves the live console (a block of one instant), replays (blocks of an hour), and every
look-ahead. The mechanics take a block at once; the alerts, which remember, are stepped only at the
instants at which something can change, which gives the same events as stepping every one.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np

from console.actions import Acknowledge, Action, Note, Silence, TendLine
from console.alerts.model import Event, Watchlist
from console.alerts.step import next_due, step
from console.alerts.text import describe, feed_events
from console.assessment import Assessment, Rule, Stage, assess, rules_of
from console.mechanics.arrangement import Arrangement, arrangement_of
from console.mechanics.hold import hold, stacked
from console.mechanics.state import Hold
from console.readings import Codes, Readings
from console.situation import Situation, situation_of
from console.stay.model import Stay
from console.tending import Lengths, apply_changes, changes_due, tend_by_hand


@dataclass(frozen=True, slots=True)
class Plan:
    """A stay made ready to compute with: compiled once, constant through the stay."""

    stay: Stay
    arrangement: Arrangement
    rules: tuple[Rule, ...]

    @classmethod
    def of(cls, stay: Stay) -> "Plan":
        return cls(stay, arrangement_of(stay), rules_of(stay))


@dataclass(frozen=True, slots=True)
class Memory:
    """All that one block of cycles hands to the next."""

    lengths: Lengths
    watchlist: Watchlist = field(default_factory=Watchlist)
    quality: Codes | None = None
    """(c,) Quality of every channel at the last instant; None before the first."""
    failed_since: float | None = None
    """Since when the calculation fails, UNIX seconds."""

    @classmethod
    def at_start(cls, stay: Stay) -> "Memory":
        return cls(Lengths.before_all(stay))


@dataclass(frozen=True, slots=True)
class Block:
    """What n cycles found; `events` in the order in which they happened."""

    readings: Readings
    situation: Situation
    hold: Hold
    assessment: Assessment
    events: tuple[Event, ...]


def advance(
    plan: Plan, memory: Memory, readings: Readings, actions: Sequence[Action] = ()
) -> tuple[Memory, Block]:
    """Take n instants of readings (n >= 1) into account. `actions` are what the watch did before the first
    of them and take effect at it."""
    situation = situation_of(plan.stay, readings)
    lengths, told, states = _mechanics(plan, memory, situation, actions)
    assessment = assess(plan.stay, plan.arrangement, plan.rules, situation, states, readings)
    events = told + feed_events(plan.stay, memory.quality, readings)
    watchlist, alert_events = _step_alerts(plan, memory.watchlist, readings, assessment, actions)
    events += alert_events + _noted(float(readings.time[0]), actions)
    memory = Memory(lengths, watchlist, readings.quality[-1].copy())
    return memory, Block(readings, situation, states, assessment, in_order(events))


def fail(plan: Plan, memory: Memory, now: float, why: str) -> tuple[Memory, tuple[Event, ...]]:
    """A cycle whose calculation failed: every derived alert is suspended, and the fault is the alert."""
    since = now if memory.failed_since is None else memory.failed_since
    value = np.full(len(plan.rules), np.nan)
    level = np.zeros(len(plan.rules), dtype=np.int8)
    at = [rule.cause for rule in plan.rules].index("calculation")
    value[at], level[at] = now - since, Stage.ALARM
    watchlist, events = step(
        memory.watchlist, now, plan.rules, value, level, level, (), lambda _index, _stage: why
    )
    return replace(memory, watchlist=watchlist, failed_since=since), events


def in_order(events: Sequence[Event]) -> tuple[Event, ...]:
    """Events by time; those of one instant keep the order they were told in."""
    return tuple(sorted(events, key=lambda event: event.time))


def _mechanics(
    plan: Plan, memory: Memory, situation: Situation, actions: Sequence[Action]
) -> tuple[Lengths, tuple[Event, ...], Hold]:
    """Lengths and states over the block, taken in stretches of constant length."""
    stay, arrangement, lengths = plan.stay, plan.arrangement, memory.lengths
    told: tuple[Event, ...] = ()
    parts: list[Hold] = []
    edges = sorted({0, *changes_due(stay, lengths, situation), len(situation)})
    for start, stop in pairwise(edges):
        here = situation.rows(start, start + 1)
        running = memory.quality is not None or start > 0
        lengths, events = apply_changes(stay, arrangement, lengths, here, running)
        told += events
        if start == 0:
            by_hand = [action for action in actions if isinstance(action, TendLine)]
            lengths, events = tend_by_hand(stay, arrangement, lengths, here, by_hand)
            told += events
        parts.append(hold(arrangement, situation.rows(start, stop), lengths.unstretched))
    return lengths, told, stacked(parts)


def _step_alerts(
    plan: Plan,
    watchlist: Watchlist,
    readings: Readings,
    assessment: Assessment,
    actions: Sequence[Action],
) -> tuple[Watchlist, tuple[Event, ...]]:
    """Step the alerts at the first instant, wherever a level changes, and whenever a delay runs out."""
    times = assessment.time
    answers = [action for action in actions if isinstance(action, Acknowledge | Silence)]
    events: list[Event] = []
    changes = _rows_of_change(assessment)
    row, due_change = 0, 0
    while row < times.size:
        told = describe(plan.stay, plan.rules, assessment, readings, row)
        watchlist, new = step(
            watchlist,
            float(times[row]),
            plan.rules,
            assessment.value[row],
            assessment.level[row],
            assessment.keep[row],
            answers if row == 0 else (),
            told,
        )
        events.extend(new)
        due_change = int(np.searchsorted(changes, row, side="right"))
        next_row = int(changes[due_change]) if due_change < changes.size else times.size
        due = int(np.searchsorted(times, next_due(watchlist, float(times[row])), side="left"))
        row = min(next_row, max(due, row + 1))
    return watchlist, tuple(events)


def _rows_of_change(assessment: Assessment) -> np.ndarray:
    """Rows whose levels, or what is known at all, differ from the row before."""
    known = ~np.isnan(assessment.value)
    differs = (
        (assessment.level[1:] != assessment.level[:-1])
        | (assessment.keep[1:] != assessment.keep[:-1])
        | (known[1:] != known[:-1])
    )
    return np.flatnonzero(differs.any(axis=1)) + 1


def _noted(now: float, actions: Sequence[Action]) -> tuple[Event, ...]:
    return tuple(
        Event(now, "note", text=f"{action.text} ({action.by})" if action.by else action.text)
        for action in actions
        if isinstance(action, Note)
    )
