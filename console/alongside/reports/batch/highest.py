"""The highest figures of a stay, gathered block by block."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from alongside.cycle.block import Block
from alongside.forecast.basis import Basis
from alongside.readings import Floats
from alongside.reports.batch.outcome import FIGURES, OF_CAUSES, Highest
from alongside.units import iso_time


@dataclass(frozen=True, slots=True)
class _Worst:
    rank: float
    value: float
    of: str
    time: float


class HighestFigures:
    """Keeps the worst value of each figure, and where and when it was first."""

    def __init__(self, basis: Basis) -> None:
        self._basis = basis
        self._worst: dict[str, _Worst] = {}

    def add(self, block: Block) -> None:
        """Take in what a block found."""
        for figure, of, values, sense in self._columns(block):
            ranked = values * sense
            if not np.isfinite(ranked).any():
                continue
            row = int(np.nanargmax(ranked))
            rank = float(ranked[row])
            if figure not in self._worst or rank > self._worst[figure].rank:
                time = float(block.readings.time[row])
                self._worst[figure] = _Worst(rank, float(values[row]), of, time)

    def highest(self) -> tuple[Highest, ...]:
        """Return what was worst of each figure that was ever known."""
        return tuple(
            Highest(name, unit, round(worst.value, 6) + 0.0, worst.of, iso_time(worst.time))
            for name, unit in FIGURES
            if (worst := self._worst.get(name)) is not None
        )

    def _columns(self, block: Block) -> Iterator[tuple[str, str, Floats, int]]:
        """Yield figure, its subject, values (n,) and the sense in which they are worse."""
        for at, line in enumerate(self._basis.arrangement.ids):
            for name in ("tension_kn", "load_share"):
                yield name, line, getattr(block.hold.lines, name)[:, at], 1
        assessment = block.assessment
        for at, rule in enumerate(assessment.rules):
            if rule.cause in OF_CAUSES:
                yield OF_CAUSES[rule.cause][0], rule.subject, assessment.value[:, at], rule.sense
        yield "wind_ms", "", block.situation.wind_speed, 1
        yield "wind_gust_ms", "", block.situation.wind_gust, 1
