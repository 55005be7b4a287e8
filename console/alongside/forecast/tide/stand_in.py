"""What stands in for a tide gauge that fails: the predicted level, and what weather added when it was heard
last, fading. Marked as expected, never as measured."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.forecast.expected.ensemble import nodes_of
from alongside.forecast.tide.prediction import TideTable, expected_level, tide_table
from alongside.forecast.tide.residual import RECENT_S, faded, robust_mean
from alongside.readings import Floats, Quality, Readings, Reason
from alongside.stay.model import Stay

EVERY_S: Final = 60.0
"""One residual is kept of each such time."""

Samples = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Tide:
    """The tide of a stay made ready; `nodes_at` as in `height_about_mean`."""

    table: TideTable
    nodes_at: float

    @classmethod
    def of(cls, stay: Stay) -> "Tide | None":
        """Return the tide of a stay; None where its file has none."""
        return None if stay.tide is None else cls(tide_table(stay.tide), nodes_of(stay))

    def at(self, time: Floats) -> Floats:
        """Return (n,) astronomical level, m above chart datum; NaN outside a table of high and low waters."""
        return expected_level(self.table, time, self.nodes_at).metres


def with_stand_in(tide: Tide, readings: Readings, before: Samples) -> tuple[Readings, Samples]:
    """Return the readings, with the expected level wherever the tide was measured once and is lost; and the
    (time, residual) samples of the last twenty minutes in which it was measured. `before` are those of the
    block before. How finely instants are cut into blocks makes no difference."""
    if "tide" not in readings.channels:
        return readings, before
    column = readings.channels.index("tide")
    samples = [*before, *_samples(tide, readings, column, before)]
    lost = readings.quality[:, column] == Quality.LOST
    if lost.any() and samples:
        readings = _filled(tide, readings, column, np.flatnonzero(lost), np.array(samples))
    newest = samples[-1][0] if samples else 0.0
    return readings, tuple(each for each in samples if each[0] > newest - RECENT_S)


def _samples(tide: Tide, readings: Readings, column: int, before: Samples) -> list[tuple[float, float]]:
    """Return the first good reading of each minute that has none yet."""
    good = np.flatnonzero(readings.quality[:, column] == Quality.GOOD)
    minute = np.floor(readings.time[good] / EVERY_S)
    last = np.floor(before[-1][0] / EVERY_S) if before else -np.inf
    fresh = good[minute > np.concatenate([[last], np.maximum(minute[:-1], last)])] if good.size else good
    if not fresh.size:
        return []
    residual = readings.value[fresh, column] - tide.at(readings.time[fresh])
    known = ~np.isnan(residual)
    return list(zip(readings.time[fresh][known].tolist(), residual[known].tolist(), strict=True))


def _filled(tide: Tide, readings: Readings, column: int, rows: np.ndarray, samples: Floats) -> Readings:
    """Return rows in which the tide is lost, filled from the samples before them."""
    count = np.searchsorted(samples[:, 0], readings.time[rows], side="right")
    level = np.full(rows.size, np.nan)
    predicted = tide.at(readings.time[rows])
    for heard in np.unique(count[count > 0]).tolist():
        here = count == heard
        last = samples[heard - 1, 0]
        recent = samples[:heard][samples[:heard, 0] > last - RECENT_S, 1]
        level[here] = predicted[here] + faded(robust_mean(recent), readings.time[rows[here]] - last)
    known = ~np.isnan(level)
    value, quality, reason = readings.value.copy(), readings.quality.copy(), readings.reason.copy()
    value[rows[known], column] = level[known]
    quality[rows[known], column] = Quality.EXPECTED
    reason[rows[known], column] = Reason.EXPECTED
    return replace(readings, value=value, quality=quality, reason=reason)
