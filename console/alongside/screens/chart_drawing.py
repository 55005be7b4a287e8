"""A chart on the raster: limits as rules with their names, traces, what is expected, tendings, the cursor."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from rich.style import Style

from alongside.alerts.assess import stages_of
from alongside.readings import Codes, Floats
from alongside.reports.braille import DOTS_ACROSS, Raster
from alongside.screens.chart_coming import Coming
from alongside.screens.chart_series import Past, Trace
from alongside.screens.chart_window import Window, thinned, with_holes
from alongside.screens.palettes import Palette
from alongside.stay.stage import Stage
from alongside.wording.figures import figure
from alongside.wording.safe import safe

TEND_INK, EXPECTED_INK, BAND_INK, OTHER_INK, NOW_INK, CURSOR_INK, MARK_INK = 4, 5, 6, 7, 8, 9, 10
TENDED: Final = "t"
"""Stands at the head of the chart where the line was tended."""
NOW: Final = "now"


def chart_style(palette: Palette, ink: int) -> Style:
    """Return how an ink of a chart looks; -1 is the background."""
    if ink in (EXPECTED_INK, OTHER_INK, NOW_INK, MARK_INK):
        return palette.label
    if ink == BAND_INK:
        return palette.frame
    if ink == CURSOR_INK:
        return palette.strong
    return palette.text if ink < 0 or ink == TEND_INK else palette.style(palette.stage(Stage(ink)))


def draw_coming(plot: Raster, window: Window, coming: Coming) -> None:
    """Shade between what is likely of the first trace, and dot what is expected of each."""
    across = window.across(coming.time, plot.width)
    low, high = (window.down(part[:, 0], plot.height) for part in (coming.low, coming.high))
    _shade(plot, across, high, low)
    for edge in (low, high):
        plot.polyline(across, edge, BAND_INK, every=2)
    down = window.down(coming.expected, plot.height)
    _draw_others(plot, across, down[:, 1:], EXPECTED_INK, every=3)
    plot.polyline(across, down[:, 0], EXPECTED_INK, every=3)


def _draw_others(plot: Raster, across: Floats, down: Floats, ink: int, every: int = 1) -> None:
    """Draw lines (n, k) over the same points as one with gaps between: far quicker than k of them."""
    if down.size:
        parts = np.vstack([down, np.full((1, down.shape[1]), np.nan)])
        plot.polyline(np.tile(np.append(across, 0.0), down.shape[1]), parts.T.ravel(), ink, every)


def _shade(plot: Raster, across: Floats, top: Floats, foot: Floats) -> None:
    """Dots, some apart, between two lines over the same points; none where one is not known."""
    known = np.isfinite(top + foot)
    if known.sum() < 2:
        return
    x = np.arange(np.ceil(across[known][0]), min(across[known][-1], plot.width - 1) + 1.0, 4.0)
    upper, lower = (np.interp(x, across[known], line[known]) for line in (top, foot))
    y = np.arange(1.0, plot.height, 4.0)
    grid_x, grid_y = np.meshgrid(x, y)
    inside = (grid_y > upper) & (grid_y < lower)
    plot.dots(grid_x[inside], grid_y[inside], BAND_INK)


def draw_past(plot: Raster, window: Window, trace: Trace, past: Past) -> None:
    """Draw the other lines whole, then the chosen one with the parts of each stage in its colour."""
    columns = past.value.shape[1]
    time, both = with_holes(past.time, np.column_stack([past.value, past.watched]))
    time, both = thinned(time, both, window, plot.width)
    across = window.across(time, plot.width)
    down, watched = window.down(both[:, :columns], plot.height), both[:, columns]
    _draw_others(plot, across, down[:, 1:], OTHER_INK)
    plot.polyline(across, down[:, 0], Stage.NORMAL)
    stages: Codes = np.zeros(time.size, dtype=np.int8)
    if trace.rule is not None:
        stages = stages_of(trace.rule, watched)
    for stage in (Stage.CAUTION, Stage.WARNING, Stage.ALARM):
        if (stages >= stage).any():
            plot.polyline(across, np.where(stages >= stage, down[:, 0], np.nan), stage)


def draw_limits(plot: Raster, window: Window, trace: Trace) -> None:
    """Draw each limit in sight as a rule, with its name and value where the plot is free."""
    levels = [(int(stage), limit, stage.word) for stage, limit in trace.limits]
    if trace.both:
        levels += [(ink, -limit, word) for ink, limit, word in levels]
    levels += [(MARK_INK, at, word) for word, at in trace.marks]
    across = np.arange(0, plot.width, 3, dtype=np.float64)
    for ink, level, word in levels:
        if not window.low <= level <= window.high:
            continue
        row = window.row(level, plot.rows)
        name = f"{word} {_short(level)}"
        place = _free_span(plot, row, len(name) + 2)
        down = float(window.down(np.array([level]), plot.height)[0])
        plot.dots(across, np.full(across.size, down), ink)
        if place is not None:
            plot.write(place + 1, row, name, ink)


def _short(level: float) -> str:
    """Return a limit as it is set: `70`, `0.75`, `18.4`."""
    return figure(level, 0 if abs(level - round(level)) < 0.005 else (1 if abs(level) >= 10.0 else 2))


def _free_span(plot: Raster, row: int, cells: int) -> int | None:
    """Return the first column from which a row has so many cells without dot and letter; the left end where
    dots are everywhere, None where letters are."""
    if not 0 <= row < plot.rows or cells > plot.columns:
        return None
    taken = plot.bits[row] != 0
    for column in [column for at, column in plot.letters if at == row]:
        taken[column] = True
    sums = np.concatenate([[0], np.cumsum(taken)])
    free = np.flatnonzero(sums[cells:] == sums[:-cells])
    if free.size:
        return int(free[0])
    return None if any((row, column) in plot.letters for column in range(cells)) else 0


def mark_tendings(plot: Raster, window: Window, times: Sequence[float]) -> None:
    """Mark when the line was tended, from the head of the plot down to its time axis."""
    down = np.arange(4, plot.height, 3, dtype=np.float64)
    for time in times:
        across = float(window.across(np.array([time]), plot.width)[0])
        if 0.0 <= across < plot.width:
            plot.dots(np.full(down.size, across), down, TEND_INK)
            plot.write(int(across) // DOTS_ACROSS, 0, TENDED, TEND_INK)


def mark_now(plot: Raster, window: Window, now: float) -> None:
    """Mark where the past ends, while there is something to come behind it."""
    _upright(plot, window, now, NOW_INK, 2)
    column = window.column(now, plot.columns) + 1
    if not any((0, column + at) in plot.letters for at in range(-1, len(NOW) + 1)):
        plot.write(column, 0, NOW, NOW_INK)


def mark_cursor(plot: Raster, window: Window, time: float) -> None:
    _upright(plot, window, time, CURSOR_INK, 1)


def _upright(plot: Raster, window: Window, time: float, ink: int, every: int) -> None:
    across = float(window.across(np.array([time]), plot.width)[0])
    down = np.arange(0, plot.height, every, dtype=np.float64)
    plot.dots(np.full(down.size, across), down, ink)


def end_labels(
    window: Window, lines: Sequence[str], values: Sequence[float], rows: int, cells: int
) -> dict[int, str]:
    """Return the names of lines at the rows where they end, those of one row side by side, as many whole as
    fit, with how many more there are; the first line is named first."""
    by_row: dict[int, list[str]] = {}
    for line, value in zip(lines, values, strict=True):
        if np.isfinite(value):
            row = min(max(window.row(value, rows), 0), rows - 1)
            by_row.setdefault(row, []).append(safe(line))
    return {row: _as_many(names, cells) for row, names in by_row.items()}


def _as_many(names: list[str], cells: int) -> str:
    for count in range(len(names), 0, -1):
        more = f" +{len(names) - count}" if count < len(names) else ""
        text = " ".join(names[:count]) + more
        if len(text) <= cells:
            return text
    return f"{len(names)}…"[:cells] if cells > 1 else ""
