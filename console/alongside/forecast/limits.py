"""Which limits are reached over expected situations, with lengths as they are or as they would be tended."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.alerts.assess import assess
from alongside.alerts.findings import Findings
from alongside.alerts.load_rules import watched_by_cell_alone
from alongside.alerts.rule_model import Assessment
from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import Expected
from alongside.forecast.first_times import limits_ahead
from alongside.forecast.holding_power import holds_ahead
from alongside.forecast.model import LimitAhead
from alongside.mechanics.gangway import rail_over_quay
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Floats
from alongside.stay.causes import Cause
from alongside.stay.gear import RANGES

CAUSES: Final[tuple[Cause, ...]] = (
    "steep",
    "stretch",
    "load",
    "slack",
    "brake",
    "bollard",
    "under_keel",
    "drift",
    "off_fenders",
    "gangway",
    "holding",
)
"""Causes that follow from where the ship floats and from wind and current."""


@dataclass(frozen=True, slots=True, eq=False)
class Reached:
    """What was found for members x m instants: the assessment, the rail over the quay (members, m), the
    limits, earliest first, and the wind (m,) m/s that is held as expected, NaN where no rule asks."""

    assessment: Assessment
    rail: Floats
    limits: tuple[LimitAhead, ...]
    holds: Floats


def reached(basis: Basis, expected: Expected, situation: Situation, held: Hold, lengths: Floats) -> Reached:
    """Return which limits are reached. `held` is what the mechanics found for the `situation` of all members
    with `lengths` of main rope, m, (lines,) or (m, lines), NaN for a line that is not made fast."""
    shape = expected.tide.shape
    by_cell = watched_by_cell_alone(basis.stay)
    rules = tuple(
        rule
        for rule in basis.rules
        if rule.cause in CAUSES
        and not (rule.cause == "load" and rule.subject in by_cell)
        and not (rule.cause == "drift" and rule.subject in RANGES)
    )
    holds = holds_ahead(basis, expected, lengths)
    findings = Findings.of(basis.stay, basis.arrangement, situation, held)
    assessment = assess(rules, replace(findings, holding=None if holds is None else holds.share))
    value = assessment.value.reshape(*shape, len(rules))
    rail = rail_over_quay(basis.stay, situation).reshape(shape)
    limits = limits_ahead(rules, expected.time, value)
    named = limits if holds is None else [holds.named(limit) for limit in limits]
    held_ms = np.full(shape[1], np.nan) if holds is None else holds.holds
    return Reached(assessment, rail, tuple(sorted(named, key=lambda limit: limit.not_before)), held_ms)
