"""Conditions that come and go: what rings once and is then held active, instead of ringing each time.

Two paces. A stage called for the third time within a minute is raised at once and held for five minutes more.
A stage that is raised again within a quarter of an hour, no worse than before, is the same situation: it
stands as it was answered then, and is held until it has not come on anew for as long. Neither delays an alarm
or ends an alert.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce
from operator import or_
from typing import Final

from alongside.alerts.delays import STAGES
from alongside.alerts.model import Alert, Announcement, Condition
from alongside.alerts.observation import Observation
from alongside.alerts.worse import is_worse
from alongside.stay.stage import Stage

CHATTER_RISES: Final = 3
CHATTER_S: Final = 60.0
HOLD_S: Final = 300.0
"""An alert that comes and goes is held active until its condition has not come on anew for this long."""
AGAIN_S: Final = 900.0
"""The same alert at most once in so long, unless worse: alarm load after EEMUA 191 and ISA 18.2, common
practice."""

Rises = tuple[tuple[Stage, float], ...]


@dataclass(frozen=True, slots=True)
class Hold:
    """Until when an alert is held active, and for how long anew whenever its stage comes on again, s."""

    until: float
    lasts: float


def rises_of(before: Rises, was: Condition, condition: Condition, now: float) -> tuple[Rises, Stage, Stage]:
    """Return the latest rises with those of now, the worst stage that rose now, and the worst that did so for
    the third time within a minute."""
    new = [at for at in STAGES if condition.on[at - 1] and not was.on[at - 1]]
    if not new:
        return before, Stage.NORMAL, Stage.NORMAL
    recent = tuple((stage, at) for stage, at in before if at >= now - CHATTER_S)
    rises = recent + tuple((stage, now) for stage in new)
    often = [stage for stage in new if sum(one is stage for one, _at in rises) >= CHATTER_RISES]
    return rises, max(new), max(often, default=Stage.NORMAL)


def hold_of(alert: Alert | None, risen: Stage, chattering: Stage, now: float) -> Hold | None:
    """Return how the alert is held active; None for one that is not. A lesser stage that comes and goes holds
    no worse one."""
    held = None
    if alert is not None and alert.held_until is not None:
        lasts = alert.held_for
        again = bool(risen) and risen >= alert.value_stage
        held = Hold(now + lasts if again else alert.held_until, lasts)
        held = held if now < held.until else None
    if not chattering:
        return held
    lasts = max(HOLD_S, 0.0 if held is None else held.lasts)
    return Hold(now + lasts, lasts)


def announced_before(announced: Sequence[Announcement], stage: Stage, now: float) -> tuple[Announcement, ...]:
    """Return when this stage, or a worse one, was raised within the last quarter of an hour."""
    return tuple(each for each in announced if each.stage >= stage and now < each.time + AGAIN_S)


def held_again(before: Sequence[Announcement], hold: Hold | None, now: float) -> Hold | None:
    """Return the hold of a stage just raised: as it is, or longer where it was raised before."""
    return Hold(now + AGAIN_S, AGAIN_S) if before else hold


def is_answered(before: Sequence[Announcement], stage: Stage, value: float, seen: Observation) -> bool:
    """Return whether what is raised now was acknowledged when it was raised before, of the same parts, and
    is no worse than the worst of it."""
    all_answered = all(each.answered for each in before) and not seen.parts & ~parts_of(before)
    return all_answered and any(not is_worse(seen.rule, stage, value, each.value) for each in before)


def parts_of(announced: Sequence[Announcement]) -> int:
    """Return all parts for which something was raised."""
    return reduce(or_, (each.parts for each in announced), 0)


def with_announcement(
    announced: Sequence[Announcement], stage: Stage, value: float, answered: bool, seen: Observation
) -> tuple[Announcement, ...]:
    """Return announcements of the last quarter of an hour with one more."""
    recent = tuple(each for each in announced if seen.now < each.time + AGAIN_S)
    return (*recent, Announcement(stage, seen.now, value, answered, seen.parts))


def answered(announced: Sequence[Announcement], by_somebody: bool = True) -> tuple[Announcement, ...]:
    """Return announcements as acknowledged; or, where another takes over the watch, as not."""
    return tuple(replace(each, answered=by_somebody) for each in announced)
