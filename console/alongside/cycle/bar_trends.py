"""How fast the highest bar of each line goes."""

from collections.abc import Mapping, Sequence
from math import isclose, isfinite, nan
from typing import Final

import numpy as np

from alongside.alerts.bars import straight_bars
from alongside.alerts.rule_model import Rule
from alongside.cycle.block import Block
from alongside.cycle.chart_history import Past
from alongside.cycle.trends import TREND_S, line_trend
from alongside.forecast.basis import Basis
from alongside.stay.causes import Cause, highest_bar

SERIES: Final[Mapping[Cause, str]] = {
    "steep": "vertical_deg",
    "stretch": "stretch_share",
    "load": "load_share",
    "slack": "load_share",
    "brake": "tension_kn",
}
"""The quantity that each cause goes by, where the past has one."""
_HOURS: Final = TREND_S / 3600.0


def bar_trends(
    basis: Basis,
    past: Past,
    block: Block,
    bars: Sequence[Mapping[Cause, float]],
    stretch_trends: Sequence[float],
) -> tuple[float, ...]:
    """Return the change of each line's highest bar an hour over the last quarter of an hour. NaN where that
    is not known: the bar is not by the figures shown but by a load cell, a worse state or its bollard, or the
    figure's trend is not known."""
    rules = {rule.key: at for at, rule in enumerate(block.assessment.rules)}
    trends = []
    for index, line in enumerate(basis.arrangement.ids):
        cause = highest_bar(bars[index])
        at = rules.get((cause, line)) if cause else None
        if not cause or cause not in SERIES or at is None:
            trends.append(nan)
            continue
        shown, scale = _shown(basis, block, cause, index)
        value = float(block.assessment.value[-1, at])
        if not isclose(value, shown * scale, rel_tol=1e-6):
            trends.append(nan)
            continue
        known = cause == "stretch"
        rate = stretch_trends[index] if known else line_trend(basis, past, block, line, SERIES[cause])
        trends.append(_bar_rate(block.assessment.rules[at], value, rate * scale))
    return tuple(trends)


def _shown(basis: Basis, block: Block, cause: Cause, index: int) -> tuple[float, float]:
    """Return the figure shown of a line, and what brings it to the unit of the cause's limits."""
    figure = float(getattr(block.hold.lines, SERIES[cause])[-1, index])
    if cause == "brake":
        return figure, 1.0 / float(basis.arrangement.brake_kn[index])
    return figure, -1.0 if cause == "steep" and figure < 0.0 else 1.0


def _bar_rate(rule: Rule, value: float, rate: float) -> float:
    """Return the change of a bar an hour for a value that has changed by `rate` an hour."""
    if not isfinite(rate):
        return nan
    now, before = straight_bars([rule], np.array([[value], [value - rate * _HOURS]]))[:, 0].tolist()
    return float(now - before) / _HOURS
