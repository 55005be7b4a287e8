"""Chart: a quantity of lines or of the ship over the last hours, and what is expected next."""

from collections.abc import Hashable, Sequence
from math import isfinite, nan
from typing import Final

import numpy as np
from textual.strip import Strip

from alongside.reports.braille import Raster
from alongside.screens.board import Board
from alongside.screens.chart_choice import other_series
from alongside.screens.chart_drawing import (
    TENDED,
    chart_style,
    draw_coming,
    draw_limits,
    draw_past,
    end_labels,
    mark_cursor,
    mark_now,
    mark_tendings,
)
from alongside.screens.chart_series import QUANTITIES, Trace
from alongside.screens.chart_shown import LEAST_S, Shown, near, shown_of, values_at
from alongside.screens.chart_window import Window, scale, time_labels
from alongside.screens.raster_pieces import raster_pieces
from alongside.screens.rows import Piece, both_ends, fill_to, fit, flow, length, strip
from alongside.screens.view import View, chosen_line
from alongside.wording.figures import figure
from alongside.wording.safe import safe
from alongside.wording.times import clock, short_span

LABEL: Final = 7
"""Cells of the scale at the left."""
NAMES_FROM: Final = 56
"""Width from which lines bear their names at their right end."""
NAMES: Final = (9, 16)
"""Cells of them, for a few lines and for many."""
FEW: Final = 6
LEGEND_FROM: Final = 9
"""Height from which a chart has a row for its legend, or the values at the cursor."""


class Chart(Board):
    def basis(self, view: View) -> Hashable:
        chart = view.series, view.hours, view.chart_lines, view.chart_at
        return (id(view.figures), view.line, view.by_position, *chart)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        return chart_strips(view, width, height)


class ChartPage(Chart):
    """The chart as a part: up and down choose what it shows."""

    def move(self, view: View, step: int) -> View:
        return other_series(view, step)


def chart_strips(view: View, width: int, height: int) -> list[Strip]:
    """Return the chart in at most so many rows."""
    palette, shown = view.palette, shown_of(view)
    window = shown.window
    heading = _heading(view, shown, width)
    if height < 4 or width < LABEL + 12 or window is None:
        words = "" if height <= 1 else ("nothing recorded of this yet" if window is None else "no room")
        rows = [strip([("  " + words, palette.label)], width, palette.text)] if words else []
        return [heading, *rows][:height]
    legend = [_legend(view, shown, width)] if height >= LEGEND_FROM else []
    many = len(shown.trace.lines) > FEW and width >= 2 * NAMES_FROM
    names = NAMES[many] if width >= NAMES_FROM and shown.trace.of_lines else 1
    plot = Raster(width - LABEL - 1 - names, height - 2 - len(legend))
    _draw(view, shown, window, plot)
    body = _plot_rows(view, shown, window, plot, width, names)
    labels = time_labels(view.stay.display, window, plot.columns)
    times = strip([(" " * (LABEL + 1) + labels, palette.label)], width, palette.text)
    return [heading, *legend, *body, times]


def _draw(view: View, shown: Shown, window: Window, plot: Raster) -> None:
    if shown.coming is not None:
        draw_coming(plot, window, shown.coming)
        mark_now(plot, window, float(shown.past.time[-1]))
    draw_past(plot, window, shown.trace, shown.past)
    mark_tendings(plot, window, tendings(view))
    if view.chart_at is not None:
        mark_cursor(plot, window, min(max(view.chart_at, window.start), window.end))
    draw_limits(plot, window, shown.trace)


def tendings(view: View) -> list[float]:
    """Return when the chosen line was tended, UNIX seconds; none where the chart shows no line."""
    row = chosen_line(view)
    if row is None or view.series not in QUANTITIES:
        return []
    return [event.time for event in view.figures.log if event.event == "tended" and event.line == row.id]


def _digits(trace: Trace) -> int:
    return 2 if trace.unit == "m" else (1 if trace.unit in ("t", "°") and not trace.of_lines else 0)


def _heading(view: View, shown: Shown, width: int) -> Strip:
    """Return what is shown, over which hours, and from least to most."""
    palette, trace = view.palette, shown.trace
    digits = 1 if trace.unit == "t" else _digits(trace)
    known = shown.past.value[np.isfinite(shown.past.value)]
    reach = f"{figure(known.min(), digits)} to {figure(known.max(), digits)}" if known.size else ""
    hours: Piece = (_hours(view, shown), palette.label)
    title = fit(f"{trace.title[0].upper()}{trace.title[1:]}, {trace.unit}", width - length([hours]) - 3)
    left: list[Piece] = [(f" {title}", palette.strong), ("  ", palette.text), hours]
    return both_ends(left, [(f"{reach} ", palette.label)] if reach else [], width, palette.text)


def _hours(view: View, shown: Shown) -> str:
    """Return how far back the chart goes: `6 h`, or `48 min of 6 h` while there is no more to show; and how
    far it goes on."""
    whole = f"{view.hours} h"
    if shown.window is None:
        return whole
    now = float(shown.past.time[-1])
    back = max(now - shown.window.start, LEAST_S)
    if back < view.hours * 3600.0 - 60.0:
        whole = f"{short_span(back)} of {whole}"
    if shown.coming is not None:
        whole += f", next {short_span(shown.window.end - now)}"
    return whole


def _legend(view: View, shown: Shown, width: int) -> Strip:
    """Return the values at the cursor, else what the signs of the chart mean, whole by rank."""
    palette = view.palette
    if view.chart_at is not None and shown.window is not None:
        fields = _at_cursor(view, shown, min(max(view.chart_at, shown.window.start), shown.window.end))
    else:
        fields = [(0, [("⠒⠒ measured", palette.label)])]
        if shown.trace.of_lines and len(shown.trace.lines) > 1:
            fields.append((2, [("names at the right end", palette.label)]))
        if shown.coming is not None:
            banded = bool(np.isfinite(shown.coming.low[:, 0]).any())
            words = "⠂⠂ expected" + (", shaded: 9 in 10 cases" if banded else "")
            fields.append((1, [(words, palette.label)]))
        if tendings(view):
            fields.append((1, [(f"{TENDED} tended", palette.label)]))
        if shown.trace.levels:
            fields.append((3, [("⠁⠈ limits", palette.label)]))
    row = flow([(0, [(" ", palette.text)]), *fields], width, ("  ", palette.text))
    return strip(row, width, palette.text)


def _at_cursor(view: View, shown: Shown, time: float) -> list[tuple[int, Sequence[Piece]]]:
    """Return the time of the cursor and the value of each trace there."""
    palette, trace = view.palette, shown.trace
    values, is_expected = values_at(shown, time)
    digits = 1 if trace.unit in ("t", "°") else _digits(trace)
    word = "expected" if is_expected else "at"
    fields: list[tuple[int, Sequence[Piece]]] = [
        (0, [(f"{word} {clock(time, view.stay.display)}", palette.strong)])
    ]
    names = [f"{safe(line)} " for line in trace.lines] or [""]
    for at, (name, value) in enumerate(zip(names, values, strict=True)):
        text = f"{figure(value, digits)} {trace.unit}".replace(" °", "°") if isfinite(value) else "—"
        style = palette.strong if at == 0 else palette.text
        fields.append((at, [(name, palette.label), (text, style)]))
    if is_expected and shown.coming is not None:
        low, high = (near(shown.coming.time, part, time)[0] for part in (shown.coming.low, shown.coming.high))
        if isfinite(low + high):
            text = f"{figure(low, digits)} to {figure(high, digits)}"
            fields.insert(2, (1, [(text, palette.label)]))
    return fields


def _plot_rows(view: View, shown: Shown, window: Window, plot: Raster, width: int, names: int) -> list[Strip]:
    palette = view.palette
    marks = scale(window, plot.rows)
    ends: dict[int, str] = {}
    if shown.trace.of_lines and names > 1:
        ends = end_labels(window, shown.trace.lines, _last_values(shown), plot.rows, names - 1)
    rows = []
    pieces = raster_pieces(plot, lambda ink: chart_style(palette, ink))
    for row, dots in enumerate(pieces):
        left: list[Piece] = [
            (fill_to(marks.get(row, ""), LABEL, right=True), palette.label),
            ("┤" if row in marks else "│", palette.frame),
        ]
        text = ends.get(row, "")
        chosen = shown.trace.of_lines and text.split(" ")[0] == safe(shown.trace.lines[0])
        style = palette.strong if chosen else palette.label
        rows.append(strip([*left, *dots, (f" {text}", style)], width, palette.text))
    return rows


def _last_values(shown: Shown) -> list[float]:
    """Return where each line ends: as is expected at the right edge, else what was known of it last."""
    if shown.coming is not None and np.isfinite(shown.coming.expected[-1]).any():
        return [float(value) for value in shown.coming.expected[-1]]
    ends = []
    for column in shown.past.value.T:
        known = np.flatnonzero(np.isfinite(column))
        ends.append(float(column[known[-1]]) if known.size else nan)
    return ends
