"""Remarks on limits and on gauges."""

from collections.abc import Iterator
from dataclasses import fields
from math import isnan
from typing import Final

from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.model import Remark
from alongside.stay.model import Source, StageLimits
from alongside.wording.figures import figure, metres

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
    for place, feed in enumerate(afloat.stay.feeds):
        for source in feed.channels:
            yield from _of_source(afloat, f"feeds[{place}].channels.{source.channel}", source)


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


def _of_source(afloat: Afloat, path: str, source: Source) -> Iterator[Remark]:
    low, high = source.range
    stated: dict[str, float | None] = dict(zip(("draught_fwd", "draught_aft"), afloat.draughts, strict=True))
    stated["tide"] = afloat.stay.lines[0].made_fast.tide
    value = stated.get(source.channel)
    if value is not None and not isnan(value) and not low <= value <= high:
        text = f"{metres(low)} to {metres(high)} leaves out {metres(value)}, as stated at making fast"
        yield Remark(f"{path}.range", f"{text}: every reading would be refused")
    if source.channel in ("tide", "draught_fwd", "draught_aft", "depth") and abs(source.scale) > 20.0:
        yield Remark(f"{path}.scale", f"{figure(source.scale)} on a length: divide instead of multiply?")
