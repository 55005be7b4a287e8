"""What a replay that looks ahead hands on from block to block, so that it sees the same however it is cut."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.alerts.rule_model import NextLimits
from alongside.forecast.decided import Decisions
from alongside.forecast.present import Heard, Present

MOST: Final = 288
"""Samples that a look ahead rests on: a day."""
SPARE: Final = 3
"""More are handed on, so that those of the last look ahead are there until the next."""

Sample = tuple[float, ...]
"""See `alongside.cycle.gauge_samples`."""


@dataclass(frozen=True, slots=True)
class ForecastMemory:
    """`last` is the last instant played, with nothing heard before it but what was read by hand, and `row`
    the same as a sample of `alongside.cycle.gauge_samples`; `trail` holds the samples so far, `soon` the
    limits that the last look ahead expects next, `decisions` what it calls for. `asked` is the instant it
    was looked ahead from, and `asked_row` its sample."""

    last: Present
    row: Sample
    trail: tuple[Sample, ...] = ()
    soon: NextLimits = None
    asked: Present | None = None
    asked_row: Sample = ()
    decisions: Decisions | None = None

    def is_due(self, time: float, every_s: float) -> bool:
        """Return whether a multiple of `every_s` lies between the last instant played and `time`."""
        return time // every_s > self.last.time // every_s

    def asking(self) -> "ForecastMemory":
        """Return the same, looking ahead from the last instant played."""
        return replace(self, asked=self.last, asked_row=self.row)

    @property
    def present(self) -> Present | None:
        """Return the instant last looked ahead from, with what was measured before; None before the first."""
        if self.asked is None:
            return None
        before = [each for each in self.trail if each[0] < self.asked_row[0]][-MOST:]
        columns = np.array([*before, self.asked_row]).T
        return replace(self.asked, heard=Heard(columns[0], *columns[1:]).merged(self.asked.heard))
