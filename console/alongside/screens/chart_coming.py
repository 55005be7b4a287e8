"""What a chart shows to the right of now: what is expected, with its range."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.forecast.model import Forecast, Spread
from alongside.readings import Floats
from alongside.screens.chart_series import Trace
from alongside.screens.view import View

_EXPECTED: Final = {
    "tide": "tide",
    "draught_fwd": "draught_fwd",
    "draught_aft": "draught_aft",
    "heel": "heel_deg",
    "wind_speed": "wind_ms",
    "under_keel": "under_keel",
    "sway": "sway",
    "surge": "surge",
}
"""Which part of a forecast each series goes on in."""


@dataclass(frozen=True, slots=True)
class Coming:
    """What is expected: `time` (m,), and (m, k) as expected and between what it lies in 9 of 10 cases, in the
    unit of the chart, NaN where not known."""

    time: Floats
    expected: Floats
    low: Floats
    high: Floats


def coming_of(view: View, trace: Trace) -> Coming | None:
    """Return what is expected of a trace after now; None where nothing is, or it is not to be shown."""
    picture = view.figures
    forecast = picture.forecast
    if forecast is None or picture.forecast_hidden or forecast.reason:
        return None
    rows = np.flatnonzero(forecast.times > picture.time)
    if not rows.size:
        return None
    if not trace.of_lines:
        spread = getattr(forecast, _EXPECTED[trace.series]) if trace.series in _EXPECTED else None
        if spread is None:
            return None
        parts = [getattr(spread, name)[rows, np.newaxis] * trace.scale for name in _PARTS]
    else:
        parts = _coming_of_lines(view, trace, forecast, rows)
    if np.isnan(parts[0]).all():
        return None
    return Coming(forecast.times[rows], *parts)


_PARTS: Final = ("expected", "low", "high")


def _coming_of_lines(view: View, trace: Trace, forecast: Forecast, rows: np.ndarray) -> list[Floats]:
    """Return (m, k) expected, low and high of a quantity of lines."""
    columns = [forecast.lines.index(line) if line in forecast.lines else -1 for line in trace.lines]
    known = np.array(columns) >= 0
    spread = _spread_of(forecast, trace.series)
    scale: Floats = np.full(len(columns), trace.scale)
    if trace.series == "tension_kn":
        wll = {line.id: line.smallest_wll_kn for line in view.figures.stay.lines}
        scale = trace.scale * np.array([wll.get(line, np.nan) for line in trace.lines])
    parts = [getattr(spread, name)[rows][:, columns] for name in _PARTS]
    if trace.series == "vertical_deg":
        parts = _either_way(parts)
    return [np.where(known, part * scale, np.nan) for part in parts]


def _spread_of(forecast: Forecast, quantity: str) -> Spread:
    spread, expected = {
        "stretch_share": (forecast.stretch_spread, forecast.stretch_share),
        "vertical_deg": (forecast.vertical_spread, forecast.vertical_deg),
    }.get(quantity, (forecast.load_spread, forecast.load_share))
    nothing = np.full(expected.shape, np.nan)
    return Spread(expected, nothing, nothing) if spread is None else spread


def _either_way(parts: Sequence[Floats]) -> list[Floats]:
    """Return expected, least and greatest size of angles, up or down alike."""
    expected, low, high = parts
    least = np.where(low * high < 0.0, 0.0, np.minimum(np.abs(low), np.abs(high)))
    return [np.abs(expected), least, np.maximum(np.abs(low), np.abs(high))]
