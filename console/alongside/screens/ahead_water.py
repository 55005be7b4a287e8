"""Tide and draughts to come as small charts, with the band in which nine of ten members lie."""

import math
from dataclasses import dataclass

import numpy as np
from rich.style import Style

from alongside.forecast.model import Spread
from alongside.readings import Floats
from alongside.reports.braille import DOTS_ACROSS, DOTS_DOWN, Raster
from alongside.screens.chart import LABEL
from alongside.screens.chart_window import Window, scale
from alongside.screens.raster_pieces import raster_pieces
from alongside.screens.rows import Piece, fill_to
from alongside.screens.view import View

BAND, EXPECTED, NOW = range(3)
MEASURED = "◆"


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """One quantity to come: a name of one or two letters drawn at its end, and its value now."""

    name: str
    spread: Spread
    now: float


def water_rows(
    view: View,
    title: str,
    curves: list[Curve],
    times: Floats,
    period: tuple[float, float],
    size: tuple[int, int],
) -> list[list[Piece]]:
    """Return a chart of curves in metres, `size` columns and rows, over a period (start, end); its scale at
    the left takes LABEL + 1 cells more."""
    palette, (columns, rows) = view.palette, size
    known = [values for curve in curves for values in (curve.spread.low, curve.spread.high)]
    values = np.concatenate([*known, [curve.now for curve in curves]])
    values = values[np.isfinite(values)]
    if not values.size:
        return [[(fill_to(f"{title} not known", LABEL + columns), palette.label)]]
    low, high = float(values.min()), float(values.max())
    spare = max((high - low) * 0.06, 0.05)
    window = Window(*period, low - spare, high + spare)
    plot = Raster(columns, rows)
    for curve in curves:
        _draw(plot, window, curve, times, view.figures.time)
    marks = scale(window, rows)
    titled = next((at for at in range(rows) if len(marks.get(at, "")) + len(title) < LABEL), 0)
    drawn = raster_pieces(plot, lambda ink: _style(view, ink))
    return [
        [*_scale_cells(view, title if at == titled else "", marks.get(at, "")), *row]
        for at, row in enumerate(drawn)
    ]


def _scale_cells(view: View, title: str, mark: str) -> list[Piece]:
    """Return title, value of the scale and axis of one row, LABEL + 1 cells."""
    palette = view.palette
    return [
        (title, palette.strong),
        (fill_to(mark, LABEL - len(title), right=True), palette.label),
        ("┤" if mark else "│", palette.frame),
    ]


def _style(view: View, ink: int) -> Style:
    palette = view.palette
    if ink == BAND:
        return palette.label
    if ink < 0:
        return palette.text
    return palette.style(palette.normal if ink == EXPECTED else palette.ink, bold=True)


def _draw(plot: Raster, window: Window, curve: Curve, times: Floats, now: float) -> None:
    """The band as dots between its edges, the expected line through it, the value now where it is now."""
    across = np.arange(0, plot.width, 2, dtype=np.float64)
    at = window.start + across / max(plot.width - 1, 1) * (window.end - window.start)
    edges = (np.interp(at, times, each) for each in (curve.spread.high, curve.spread.low))
    top, foot = (window.down(each, plot.height) for each in edges)
    down = np.arange(plot.height, dtype=np.float64)[:, None]
    inside = (down >= top) & (down <= foot) & ((down + across / 2.0) % 2.0 == 0.0)
    rows, columns = np.nonzero(inside)
    plot.dots(across[columns], rows.astype(np.float64), BAND)
    plot.polyline(window.across(times, plot.width), window.down(curve.spread.expected, plot.height), EXPECTED)
    last = float(window.down(curve.spread.expected[-1:], plot.height)[0])
    if curve.name and math.isfinite(last):
        plot.write(plot.columns - 1, min(int(last) // DOTS_DOWN, plot.rows - 1), curve.name, EXPECTED)
    if math.isfinite(curve.now + now) and window.start <= now <= window.end:
        x = float(window.across(np.array([now]), plot.width)[0])
        y = float(window.down(np.array([curve.now]), plot.height)[0])
        plot.write(int(x) // DOTS_ACROSS, min(max(int(y) // DOTS_DOWN, 0), plot.rows - 1), MEASURED, NOW)
