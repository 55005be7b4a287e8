"""Remarks on limits."""

from collections.abc import Iterator
from dataclasses import fields
from math import isnan
from typing import Final

from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.model import Remark
from alongside.stay.model import StageLimits
from alongside.wording.figures import figure

PER_CENT_FROM: Final = 2.5
"""A share so large is in per cent."""
LAX: Final = 1.2
"""An alarm only so far beyond what is allowed."""
LEAST_STEEP_DEG: Final = 5.0


def limit_remarks(afloat: Afloat) -> Iterator[Remark]:
    limits = afloat.stay.limits
    for each in fields(limits):
        value = getattr(limits, each.name)
        if isinstance(value, StageLimits):
            yield from _of_limit(each.name, value)


def _of_limit(name: str, limit: StageLimits) -> Iterator[Remark]:
    path, stages = f"limits.{name}", [value for value in limit.as_tuple() if not isnan(value)]
    if not stages:
        return
    largest = max(stages)
    if name.endswith("_share"):
        if largest > PER_CENT_FROM:
            yield Remark(
                path,
                f"{figure(largest)} is a share of {figure(largest * 100)} %: per cent instead of a share?",
            )
        elif largest > LAX and name != "tension_share":
            yield Remark(path, f"nothing is alarmed below {figure(largest * 100)} % of what is allowed")
    if name == "steep_deg" and min(stages) < LEAST_STEEP_DEG:
        yield Remark(path, f"{figure(min(stages), 1)} is less than 5 degrees: radians, or a share?")
