"""Assessments of the same instants in several states that may be, of which the worse counts, rule by rule."""

from collections.abc import Set
from dataclasses import dataclass, replace

import numpy as np

from alongside.alerts.findings import Findings
from alongside.alerts.rule_model import Assessment


@dataclass(frozen=True, slots=True)
class OtherFindings:
    """What else may be so, and the causes that are judged by it too."""

    findings: Findings
    causes: Set[str]


def worse_of(assessment: Assessment, other: Assessment) -> Assessment:
    """Return the assessment with level, keep and value of `other` wherever that is worse; `other` may know
    fewer rules."""
    place = {rule.key: at for at, rule in enumerate(assessment.rules)}
    columns = [place[rule.key] for rule in other.rules]
    sense = np.array([rule.sense for rule in other.rules])
    value, level = assessment.value[:, columns], assessment.level[:, columns]
    with np.errstate(invalid="ignore"):
        beyond = (other.value - value) * sense > 0.0
    worse = (other.level > level) | ((other.level == level) & (beyond | np.isnan(value)))
    if not worse.any():
        return assessment
    value, level, keep = assessment.value.copy(), assessment.level.copy(), assessment.keep.copy()
    value[:, columns] = np.where(worse, other.value, value[:, columns])
    level[:, columns] = np.where(worse, other.level, level[:, columns])
    keep[:, columns] = np.where(worse, other.keep, keep[:, columns])
    return replace(assessment, value=value, level=level, keep=keep)
