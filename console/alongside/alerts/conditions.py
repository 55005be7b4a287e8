"""What a rule calls for, second by second, and which of it has lasted long enough to count.

Deadband first, delays after: a stage is called for from its limit on until the value is better than the
eased limit (`keep`), and only then do the clocks of the delays run. So noise about a limit neither
restarts a delay nor makes an alert come and go.
"""

from collections.abc import Iterable
from math import inf, isnan, nan
from typing import Final

from alongside.alerts.model import Condition
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

QUIET: Final = Condition((False, False, False), (-inf, -inf, -inf))


def followed(before: Condition, now: float, level: int, keep: int, value: float) -> Condition:
    """The condition after one more look; the same object where nothing changed."""
    first, second, third = before.on
    on = (
        level >= 1 or (first and keep >= 1),
        level >= 2 or (second and keep >= 2),
        level >= 3 or (third and keep >= 3),
    )
    if on == before.on:
        return before
    since = [
        old if is_on == was else now for old, is_on, was in zip(before.since, on, before.on, strict=True)
    ]
    known = nan if isnan(value) else value
    reached = [
        known if is_on and not was else old
        for old, is_on, was in zip(before.reached, on, before.on, strict=True)
    ]
    return Condition(on, (since[0], since[1], since[2]), (reached[0], reached[1], reached[2]))


def came_on(before: Condition, after: Condition) -> tuple[Stage, ...]:
    """Stages that are called for now and were not before."""
    if after is before:
        return ()
    return tuple(stage for stage in STAGES if after.on[stage - 1] and not before.on[stage - 1])


def frozen_at(before: Condition, stage: Stage, now: float) -> Condition:
    """What is called for while the input is lost: the stage that stood, and no more. Clocks start anew."""
    on = (stage >= 1, stage >= 2, stage >= 3)
    return Condition(on, (now, now, now), before.reached)


def lasting(condition: Condition, now: float, slow: bool, above: Stage) -> Stage:
    """Worst stage above the given one whose on-delay has run out; the given one where there is none."""
    delays = SLOW_ON_DELAY_S if slow else ON_DELAY_S
    worst = above
    for stage in STAGES[above:]:
        if condition.on[stage - 1] and now >= condition.since[stage - 1] + delays[stage - 1]:
            worst = stage
    return worst


def off_delay(cause: Cause, stage: Stage) -> float:
    """How long a stage must not have been called for before it is left, s."""
    return CAUTION_OFF_DELAY_S.get(cause, OFF_DELAY_S) if stage is Stage.CAUTION else OFF_DELAY_S


def left(cause: Cause, condition: Condition, now: float, stage: Stage) -> Stage:
    """What is left of a stage: the worst, up to it, that has not been off for the whole off-delay."""
    for at in reversed(STAGES[:stage]):
        if condition.on[at - 1] or now < condition.since[at - 1] + off_delay(cause, at):
            return at
    return Stage.NORMAL


def due_times(cause: Cause, condition: Condition, stage: Stage) -> Iterable[float]:
    """Every time at which `lasting` or `left` may change for an alert that stands at `stage`."""
    for at in STAGES:
        on, since = condition.on[at - 1], condition.since[at - 1]
        if at > stage and on:
            yield since + ON_DELAY_S[at - 1]
            yield since + SLOW_ON_DELAY_S[at - 1]
        elif at <= stage and not on:
            yield since + off_delay(cause, at)
