"""Figures of each line over the stay: peaks with their times, and how long it was in each stage."""

from dataclasses import dataclass
from math import nan

import numpy as np

from alongside.readings import Floats
from alongside.reports.stay.record_arrays import NOT_KNOWN, RecordArrays, Singles
from alongside.stay.model import Line
from alongside.stay.stage import Stage


@dataclass(frozen=True, slots=True)
class Peak:
    """The most (or least) of something and when it was first reached; NaN where it was never known."""

    value: float = nan
    time: float = nan


@dataclass(frozen=True, slots=True)
class LineFigures:
    """Highest loads are by the larger of computed and measured load, as the alerts were."""

    line: Line
    tension_kn: Peak
    load_share: Peak
    stretch_share: Peak
    vertical_deg: Peak
    slackest_kn: Peak
    stage_s: tuple[float, float, float, float]
    """Seconds in normal, caution, warning, alarm, by the limits as they stood."""
    unknown_s: float
    """Seconds watched without an answer for this line."""
    tendings: int

    @property
    def worst(self) -> Stage | None:
        """The worst stage it was in; None where nothing was ever known of it."""
        reached = [stage for stage in Stage if self.stage_s[stage] > 0.0]
        return max(reached, default=None)


def peak(time: Floats, values: Singles | Floats, least: bool = False) -> Peak:
    """Return where values (n,) are greatest, or least."""
    if not np.isfinite(values).any():
        return Peak()
    at = int(np.nanargmin(values) if least else np.nanargmax(values))
    return Peak(float(values[at]), float(time[at]))


def steepest(time: Floats, vertical_deg: Singles | Floats) -> Peak:
    """Return where a lead (n,) is farthest from the horizontal: its angle, down positive, up negative."""
    if not np.isfinite(vertical_deg).any():
        return Peak()
    at = int(np.nanargmax(np.abs(vertical_deg)))
    return Peak(float(vertical_deg[at]), float(time[at]))


def line_figures(arrays: RecordArrays) -> tuple[LineFigures, ...]:
    """Return figures of every line, in the order of the stay file."""
    return tuple(_figures(arrays, column, line) for column, line in enumerate(arrays.lines))


def _figures(arrays: RecordArrays, column: int, line: Line) -> LineFigures:
    stage = arrays.stage[:, column]
    computed, measured = (arrays.of(name, line.id) for name in ("tension_kn", "measured_kn"))
    by_cell = measured > np.nan_to_num(computed, nan=-np.inf)
    share = np.where(by_cell, measured / line.smallest_wll_kn, arrays.of("load_share", line.id))
    normal, caution, warning, alarm = (float(arrays.stands[stage == one].sum()) for one in Stage)
    return LineFigures(
        line,
        tension_kn=peak(arrays.time, np.where(by_cell, measured, computed)),
        load_share=peak(arrays.time, share),
        stretch_share=peak(arrays.time, arrays.of("stretch_share", line.id)),
        vertical_deg=steepest(arrays.time, arrays.of("vertical_deg", line.id)),
        slackest_kn=peak(arrays.time, arrays.of("tension_kn", line.id), least=True),
        stage_s=(normal, caution, warning, alarm),
        unknown_s=float(arrays.stands[stage == NOT_KNOWN].sum()),
        tendings=sum(event.event == "tended" and event.line == line.id for event in arrays.events),
    )
