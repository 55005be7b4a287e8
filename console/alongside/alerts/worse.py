"""Whether a value has become worse by what counts: 5 % of its limit."""

from math import isfinite
from typing import Final

from alongside.alerts.rule_model import Rule
from alongside.stay.causes import EXPECTED, Cause
from alongside.stay.stage import Stage

STEP: Final = 0.05
"""Part of the limit by which a value must have become worse to count as worse."""
BY_STAGE_ALONE: Final[frozenset[Cause]] = EXPECTED | {
    "feed",
    "not_known",
    "parted",
    "calculation",
    "record",
    "clock",
    "caller",
    "bridge",
}
"""Causes whose value is a code, or an age or a time left that grows or falls by itself: only their stage says
that they are worse."""


def worse_from(rule: Rule, stage: Stage, value: float) -> float:
    """Return from where on a value is worse than the one given: by 5 % of the limit of a stage; infinite, on
    the worse side, where only the stage counts or nothing is known."""
    limit = rule.limits[stage - 1] if stage else float("nan")
    if rule.cause in BY_STAGE_ALONE or not isfinite(limit) or not isfinite(value):
        return rule.sense * float("inf")
    return value + rule.sense * STEP * abs(limit)


def is_worse(rule: Rule, stage: Stage, value: float, than: float) -> bool:
    """Return whether a value is worse than another by 5 % of the limit of a stage; not so where either is not
    known."""
    return rule.sense * value >= rule.sense * worse_from(rule, stage, than) if isfinite(value) else False
