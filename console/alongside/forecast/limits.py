"""Which limits are reached over expected situations, with lengths as they are or as they would be tended."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.alerts.assess import assess, line_levels
from alongside.alerts.findings import Findings
from alongside.alerts.load_rules import watched_by_cell_alone
from alongside.alerts.rule_model import Assessment
from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import Expected
from alongside.forecast.first_times import FirstTimes
from alongside.forecast.holding_power import HoldsAhead, holds_ahead
from alongside.forecast.members import Members
from alongside.forecast.model import LimitAhead
from alongside.forecast.present import Present
from alongside.mechanics.gangway import rail_over_quay
from alongside.mechanics.state import Hold
from alongside.readings import Codes, Floats
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
    """What was found for all members at m instants: the stage of each line (members, m, lines), as expected
    and by which of `CAUSES` (m, lines), -1 where that is normal; water under the keel, wind by what is held
    and rail over the quay (members, m); the limits, earliest first, and the wind (m,) m/s that is held as
    expected, NaN where no rule asks."""

    levels: Codes
    cause: Codes
    under_keel: Floats
    holding: Floats
    rail: Floats
    limits: tuple[LimitAhead, ...]
    holds: Floats
    ahead: HoldsAhead | None = None
    """What is held in the hours ahead; None where no rule asks."""


def reached(basis: Basis, present: Present, held: Members, lengths: Floats) -> Reached:
    """Return which limits are reached. `held` is what the mechanics found for all members with `lengths` of
    main rope, m, (lines,) or (m, lines), NaN for a line that is not made fast."""
    expected = held.expected
    by_cell = watched_by_cell_alone(basis.stay)
    rules = tuple(
        rule
        for rule in basis.rules
        if rule.cause in CAUSES
        and not (rule.cause == "load" and rule.subject in by_cell)
        and not (rule.cause == "drift" and rule.subject in RANGES)
    )
    holds = holds_ahead(basis, expected, lengths)
    first = FirstTimes(rules)

    def assessed(rows: slice, here: Expected, block: Hold) -> tuple[Codes, Codes, Floats, Floats, Floats]:
        shape, situation = here.tide.shape, here.situation()
        findings = Findings.of(basis.stay, basis.arrangement, situation, present.holding(block))
        share = None if holds is None else holds.share[:, rows].ravel()
        assessment = assess(rules, replace(findings, holding=share))
        first.add(here.time, assessment.value.reshape(*shape, len(rules)))
        lines = basis.arrangement.ids
        return (
            line_levels(assessment, lines).reshape(*shape, -1),
            _worst_cause(assessment, lines, shape[1]),
            _by_cause(assessment, "under_keel").reshape(shape),
            _by_cause(assessment, "holding").reshape(shape),
            rail_over_quay(basis.stay, situation).reshape(shape),
        )

    levels, cause, under_keel, holding, rail = zip(*held.through(assessed), strict=True)
    limits = first.limits()
    named = limits if holds is None else [holds.named(limit) for limit in limits]
    return Reached(
        np.concatenate(levels, axis=1),
        np.concatenate(cause),
        np.concatenate(under_keel, axis=1),
        np.concatenate(holding, axis=1),
        np.concatenate(rail, axis=1),
        tuple(sorted(named, key=lambda limit: limit.not_before)),
        np.full(expected.time.size, np.nan) if holds is None else holds.holds,
        holds,
    )


def _by_cause(assessment: Assessment, cause: str) -> Floats:
    """Return (n,) the value of the one rule of a cause; NaN where there is none."""
    for at, rule in enumerate(assessment.rules):
        if rule.cause == cause:
            return assessment.value[:, at].copy()  # a view would keep all other rules
    return np.full(assessment.time.size, np.nan)


def _worst_cause(assessment: Assessment, lines: tuple[str, ...], m: int) -> np.ndarray:
    """Return (m, lines) index into `CAUSES` of what gives each line its expected stage, -1 where that is
    normal."""
    level = assessment.level[:m]
    worst = np.zeros((m, len(lines)), dtype=np.int8)
    cause = np.full((m, len(lines)), -1, dtype=np.int8)
    for at, rule in enumerate(assessment.rules):
        if rule.line in lines:
            column = lines.index(rule.line)
            higher = level[:, at] > worst[:, column]
            worst[higher, column] = level[higher, at]
            cause[higher, column] = CAUSES.index(rule.cause)
    return cause
