"""From what a rule calls for to a stage that is raised or eases: deadband first, delays after.

A stage is called for from its limit on until the value is better than the eased limit (`keep`), and only then
do the clocks of the delays run. So noise about a limit neither restarts a delay nor makes an alert come and
go.
"""

from collections.abc import Iterable
from dataclasses import replace
from math import inf
from typing import Final

from alongside.alerts.model import Condition
from alongside.alerts.observation import Observation
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage

STAGES: Final = (Stage.CAUTION, Stage.WARNING, Stage.ALARM)

ON_DELAY_S: Final = (15.0, 15.0, 5.0)
"""How long a caution, warning, alarm must last before it is raised. An alarm never waits longer."""
SLOW_ON_DELAY_S: Final = (60.0, 15.0, 5.0)
"""The same for slow values."""
OFF_DELAY_S: Final = 60.0
CAUTION_OFF_DELAY_S: Final[dict[Cause, float]] = {"slack": 300.0, "holding": 600.0, "decide": 600.0}
"""Causes that follow the wind come and go with its gusts for hours: their cautions stand until a lull has
lasted. Ten minutes is the time over which a mean wind is taken."""

QUIET: Final = Condition((False, False, False), (-inf, -inf, -inf))


def followed(before: Condition, seen: Observation) -> Condition:
    """Return the condition after one more observation; the same object where nothing changed."""
    on = tuple(
        seen.level >= at or (was and seen.keep >= at) for at, was in zip(STAGES, before.on, strict=True)
    )
    if on == before.on:
        return before if seen.parts == before.parts else replace(before, parts=seen.parts)
    rows = zip(on, before.on, before.since, before.reached, strict=True)
    after = [
        (since if now_on == was else seen.now, seen.value if now_on and not was else reached)
        for now_on, was, since, reached in rows
    ]
    (first, second, third) = after
    since, reached = (first[0], second[0], third[0]), (first[1], second[1], third[1])
    return Condition((on[0], on[1], on[2]), since, reached, seen.parts)


def lasting(condition: Condition, seen: Observation, above: Stage) -> Stage:
    """Return the worst stage above the given one whose on-delay has run out; the given one where there is
    none."""
    delays = SLOW_ON_DELAY_S if seen.rule.slow else ON_DELAY_S
    due = [
        at
        for at in STAGES[above:]
        if condition.on[at - 1] and seen.now >= condition.since[at - 1] + delays[at - 1]
    ]
    return max(due, default=above)


def remaining(cause: Cause, condition: Condition, now: float, stage: Stage) -> Stage:
    """Return the worst stage, up to the one given, that has not been off for the whole off-delay."""
    for at in reversed(STAGES[:stage]):
        if condition.on[at - 1] or now < condition.since[at - 1] + _off_delay(cause, at):
            return at
    return Stage.NORMAL


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
