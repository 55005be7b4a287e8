"""Chart: one series over the last hours, its limit lines, and gaps where nothing was known."""

import math
from collections.abc import Hashable
from dataclasses import dataclass, replace

import numpy as np
from rich.style import Style
from textual.strip import Strip

from alongside.readings import Codes, Floats
from alongside.reports.braille import DOTS_ACROSS, Raster
from alongside.screens.board import Board
from alongside.screens.chart_series import QUANTITIES, Trace, choices, past_of, trace_of
from alongside.screens.palettes import Palette
from alongside.screens.raster_pieces import raster_pieces
from alongside.screens.rows import Piece, both_ends, fill_to, fit, length, strip
from alongside.screens.stage_styles import value_style
from alongside.screens.view import HOURS, View, chosen_line, other_line
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.figures import figure
from alongside.wording.times import CHANGE_S, changes, clock, local, short_span

LABEL = 7
"""Cells of the scale at the left."""
NAMES_FROM = 56
"""Width from which limit lines bear their names."""
LEAST_S = 600.0
"""A young watch's chart spans this at the least."""
TENDED = "t"
"""Stands at the head of the chart where the line was tended."""
TEND_INK = 4
_GAP_AFTER = 3.5
"""A step between samples this many times the usual one is a gap."""
_EVERY_H = (1 / 60, 1 / 30, 1 / 12, 1 / 6, 0.25, 0.5, 1, 2, 3, 4, 6, 12, 24)
"""Hours between labels of the time scale."""
Limits = tuple[tuple[Stage, float], ...]
"""Stages with their limits in the unit of the chart."""


@dataclass(frozen=True, slots=True)
class Window:
    """What part of the world the plot shows."""

    start: float
    end: float
    low: float
    high: float

    def across(self, time: Floats, width: int) -> Floats:
        return (time - self.start) / (self.end - self.start) * (width - 1)

    def down(self, value: Floats, height: int) -> Floats:
        return (self.high - value) / (self.high - self.low) * (height - 1)


class Chart(Board):
    def basis(self, view: View) -> Hashable:
        return (id(view.figures), view.line, view.by_position, view.series, view.hours)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette, trace = view.palette, trace_of(view)
        time, value, stage = shown_past(view, trace)
        heading = _heading(view, trace, value, width)
        if height < 4 or not np.isfinite(value).any():
            words = "nothing recorded of this yet" if height > 1 else ""
            return [heading, strip([("  " + words, palette.label)], width, palette.text)]
        window = _window(view, trace, value)
        names = 9 if width >= NAMES_FROM else 0
        plot = Raster(width - LABEL - 1 - names, height - 2)
        _draw_limits(plot, window, trace.limits)
        _draw_trace(plot, window, time, value, stage)
        _mark_tendings(plot, window, tendings(view))
        body = _plot_rows(view, plot, window, trace.limits, width, names)
        return [heading, *body, _time_scale(view, window, plot.columns, width)]


def shown_past(view: View, trace: Trace) -> tuple[Floats, Floats, Codes]:
    """Return times, values in the trace's unit and stages (m,) over the hours shown, with a NaN put into
    every hole in time."""
    history = view.figures.history
    if trace.series not in history.series or not history.time.size:
        return np.empty(0), np.empty(0), np.empty(0, dtype=np.int8)
    since = history.time.searchsorted(history.time[-1] - view.hours * 3600.0)
    value, stage = past_of(view, trace)
    time, value, stage = history.time[since:], value[since:], stage[since:]
    steps = np.diff(time)
    if not steps.size:
        return time, value, stage
    holes = np.flatnonzero(steps > _GAP_AFTER * float(np.median(steps))) + 1
    return (
        np.insert(time, holes, time[holes - 1]),
        np.insert(value, holes, np.nan),
        np.insert(stage, holes, 0),
    )


def _window(view: View, trace: Trace, value: Floats) -> Window:
    known = value[np.isfinite(value)]
    low, high = float(known.min()), float(known.max())
    if trace.from_zero:
        low, high = min(low, 0.0), max([high, *(limit for _, limit in trace.limits)]) * 1.06
    if high - low < 0.1:
        middle = (high + low) / 2.0
        low, high = middle - 0.05, middle + 0.05
    return Window(*_period(view, trace), low, high)


def _period(view: View, trace: Trace) -> tuple[float, float]:
    """Return the last hours, but from no earlier than the first that is known of the trace."""
    history = view.figures.history
    end = float(history.time[-1])
    known = np.isfinite(history.series[trace.series])
    first = float(history.time[known.argmax()])
    start = max(end - view.hours * 3600.0, first)
    return start, max(end, start + LEAST_S)


def _draw_limits(plot: Raster, window: Window, limits: Limits) -> None:
    across = np.arange(0, plot.width, 3, dtype=np.float64)
    for stage, limit in limits:
        level = float(window.down(np.array([limit]), plot.height)[0])
        plot.dots(across, np.full(across.size, level), stage)


def _draw_trace(plot: Raster, window: Window, time: Floats, value: Floats, stages: Codes) -> None:
    """Draw the whole in the colour of normal, then the parts of each stage in its colour."""
    across, down = window.across(time, plot.width), window.down(value, plot.height)
    plot.polyline(across, down, Stage.NORMAL)
    for stage in (Stage.CAUTION, Stage.WARNING, Stage.ALARM):
        plot.polyline(across, np.where(stages >= stage, down, np.nan), stage)


def tendings(view: View) -> list[float]:
    """Return when the chosen line was tended, UNIX seconds; none where the chart shows a channel."""
    row = chosen_line(view)
    if row is None or view.series not in QUANTITIES:
        return []
    return [event.time for event in view.figures.log if event.event == "tended" and event.line == row.id]


def _mark_tendings(plot: Raster, window: Window, times: list[float]) -> None:
    down = np.arange(4, plot.height, 3, dtype=np.float64)
    for time in times:
        across = float(window.across(np.array([time]), plot.width)[0])
        if 0.0 <= across < plot.width:
            plot.dots(np.full(down.size, across), down, TEND_INK)
            plot.write(int(across) // DOTS_ACROSS, 0, TENDED, TEND_INK)


def _hours(view: View, trace: Trace) -> str:
    """Return how far back the chart goes: `6 h`, or `48 min of 6 h` while there is no more to show."""
    if not view.figures.history.time.size or trace.series not in view.figures.history.series:
        return f"{view.hours} h"
    start, end = _period(view, trace)
    whole = f"{view.hours} h"
    return whole if end - start >= view.hours * 3600.0 - 60.0 else f"{short_span(end - start)} of {whole}"


def _heading(view: View, trace: Trace, value: Floats, width: int) -> Strip:
    palette = view.palette
    known = value[np.isfinite(value)]
    digits = 2 if trace.unit == "m" else (1 if trace.unit == "t" else 0)
    reach = f"{figure(known.min(), digits)} to {figure(known.max(), digits)}" if known.size else ""
    marked = f"  {TENDED} tended" if tendings(view) and width >= NAMES_FROM else ""
    hours: Piece = (_hours(view, trace) + marked, palette.label)
    title = fit(f"{trace.title[0].upper()}{trace.title[1:]}, {trace.unit}", width - length([hours]) - 3)
    left: list[Piece] = [(f" {title}", palette.strong), ("  ", palette.text), hours]
    return both_ends(left, [(f"{reach} ", palette.label)] if reach else [], width, palette.text)


def _plot_rows(
    view: View, plot: Raster, window: Window, limits: Limits, width: int, names: int
) -> list[Strip]:
    palette = view.palette
    marks = scale(window, plot.rows)
    named = _limit_names(window, plot, limits) if names else {}
    rows = []
    pieces = raster_pieces(plot, lambda ink: _style(palette, ink))
    for row, dots in enumerate(pieces):
        left: list[Piece] = [
            (fill_to(marks.get(row, ""), LABEL, right=True), palette.label),
            ("┤" if row in marks else "│", palette.frame),
        ]
        right: list[Piece] = []
        if row in named:
            stage = named[row]
            right = [(f" {stage.word}", value_style(palette, stage))]
        rows.append(strip([*left, *dots, *right], width, palette.text))
    return rows


def _style(palette: Palette, ink: int) -> Style:
    if ink < 0 or ink == TEND_INK:
        return palette.text
    return palette.style(palette.stage(Stage(ink)))


def scale(window: Window, rows: int) -> dict[int, str]:
    """Return round values at the rows where they lie, so that the scale can be read off."""
    step = _round_step((window.high - window.low) / max(rows / 3.0, 1.0))
    digits = max(0, -math.floor(math.log10(step) + 1e-9))
    first = math.ceil(window.low / step - 1e-9)
    marks: dict[int, str] = {}
    for k in range(first, first + 50):
        value = k * step
        if value > window.high:
            break
        row = int(window.down(np.array([value]), rows * 4)[0]) // 4
        marks.setdefault(row, figure(value, digits))
    return marks


def _round_step(least: float) -> float:
    """Return the smallest of 1, 2, 5 times a power of ten that is not less."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(factor * power for factor in (1.0, 2.0, 5.0, 10.0) if factor * power >= least * (1 - 1e-9))


def _limit_names(window: Window, plot: Raster, limits: Limits) -> dict[int, Stage]:
    named: dict[int, Stage] = {}
    for stage, limit in limits:
        level = float(window.down(np.array([limit]), plot.height)[0])
        if 0 <= level < plot.height:
            named[round(level) // 4] = stage
    return named


def _time_scale(view: View, window: Window, columns: int, width: int) -> Strip:
    labels = time_labels(view.stay.display, window, columns)
    return strip([(" " * (LABEL + 1) + labels, view.palette.label)], width, view.palette.text)


def time_labels(display: Display, window: Window, columns: int) -> str:
    """Return local times at whole hours, as many as fit side by side in so many cells, with their offsets
    near a change of the clocks. Where the clocks change within, the hours are whole by those of the end."""
    hours = (window.end - window.start) / 3600.0
    apart = 15 if changes(window.start - CHANGE_S, window.end + CHANGE_S, display) else 9
    every = next(h for h in _EVERY_H if columns / (hours / h) >= apart or h == _EVERY_H[-1])
    text = [" "] * columns
    offset = _zone_offset(window.end, display)
    first = math.ceil((window.start + offset) / (every * 3600.0)) * every * 3600.0 - offset
    time = first
    while time <= window.end:
        label = clock(time, display, "%H:%M")
        at = round((time - window.start) / (window.end - window.start) * (columns - 1))
        if at + len(label) < columns:
            text[at : at + len(label) + 1] = list("╵" + label)
        time += every * 3600.0
    return "".join(text)


def _zone_offset(time: float, display: Display) -> float:
    offset = local(time, display).utcoffset()
    return offset.total_seconds() if offset is not None else 0.0


class ChartPage(Chart):
    """The chart as a page: up and down choose the line, left and right what is shown."""

    def move(self, view: View, step: int) -> View:
        return other_line(view, step)


def other_series(view: View, step: int) -> View:
    """Return the View with the next or former series of `choices`."""
    names = choices(view)
    at = names.index(view.series) if view.series in names else 0
    return replace(view, series=names[(at + step) % len(names)])


def other_hours(view: View, step: int) -> View:
    """Return the View with a longer (+) or shorter (-) chart."""
    at = HOURS.index(view.hours) + step
    return replace(view, hours=HOURS[min(max(at, 0), len(HOURS) - 1)])
