"""What a replay that looks ahead as it goes hands on from block to block, so that it sees the same however it
is cut into blocks."""

from dataclasses import dataclass

from alongside.alerts.rule_model import NextLimits
from alongside.forecast.present import Present


@dataclass(frozen=True, slots=True)
class ForecastMemory:
    """`last` is the last instant played, with nothing heard before it, and `row` the same as a row of
    `alongside.cycle.gauge_samples`. `trail` holds the rows from which it was looked ahead in due time, and
    `soon` what was seen coming then, or once a length was changed since."""

    last: Present
    row: tuple[float, ...]
    trail: tuple[tuple[float, ...], ...] = ()
    soon: NextLimits = None

    def is_due(self, time: float, every_s: float) -> bool:
        """Whether a multiple of `every_s` lies between the last instant played and the one at `time`."""
        return time // every_s > self.last.time // every_s
