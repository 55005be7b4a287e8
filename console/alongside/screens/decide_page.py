"""Decide by: for the wind to come, what is to be ordered by when: a time line, and the same in words."""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from math import isfinite, isnan

from rich.style import Style
from textual.strip import Strip

from alongside.cycle.picture import Picture
from alongside.forecast.decide_words import note_rows, nothing_words, order_words, which_set, why_none
from alongside.forecast.decided import DecideRow, Decisions
from alongside.mechanics.holding_search import CAP_MS
from alongside.screens.board import Board, scroll_by
from alongside.screens.chart_window import Window, time_labels
from alongside.screens.rows import Piece, both_ends, fill_to, strip, wrap
from alongside.screens.view import View
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.decide import NAMES
from alongside.wording.figures import held_speed, speed_figure
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.times import DayClock, short_span

NAME = 12
"""Cells of the names at the left."""
DUE, FIRST, HALF, ORDERED = "▼", "○", "●", "◆"
KEY = f"{DUE} at the latest  {FIRST} limit may be reached  {HALF} in half of the cases  {ORDERED} ordered"
FIGURE = 6
"""Cells from one figure to the next at least."""


@dataclass(frozen=True, slots=True, eq=False)
class Axis:
    """`columns` cells of time from `start` to `end`, UNIX s."""

    start: float
    end: float
    columns: int

    def column(self, time: float) -> int:
        """Return the cell of a time, the nearest end for one outside."""
        share = (min(max(time, self.start), self.end) - self.start) / max(self.end - self.start, 1.0)
        return min(int(share * self.columns), self.columns - 1)


class DecidePage(Board):
    def basis(self, view: View) -> Hashable:
        picture = view.watch
        alerts = tuple((each.key, each.stage) for each in picture.alerts if each.cause == "decide")
        return (
            picture.decisions,
            picture.due,
            picture.decided.transfer,
            alerts,
            picture.time // 60.0,
            _age(picture),
            view.scroll,
        )

    def move(self, view: View, step: int) -> View:
        decisions, size = view.watch.decisions, self.size
        if decisions is None or _why_nothing(view.watch):
            return view
        room = _room(size.height, len(_time_lines(view, decisions, size.width)))
        return scroll_by(view, step, len(_words(view, decisions, size.width)), room + 1)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette, picture = view.palette, view.watch
        if why := _why_nothing(picture):
            return [strip([(f"  {row}", palette.text)], width, palette.text) for row in wrap(why, width - 4)]
        decisions = picture.decisions
        assert decisions is not None  # asked before
        lines = [strip(row, width, palette.text) for row in _time_lines(view, decisions, width)]
        words = [strip(row, width, palette.text) for row in _words(view, decisions, width)]
        room = _room(height, len(lines))
        first = min(view.scroll, max(len(words) - room, 0))
        shown = words[first : first + room]
        if first + room < len(words):
            more = len(words) - first - room + 1
            shown[-1] = strip([(f"  {more} rows more, ↓", palette.label)], width, palette.text)
        return [_heading(view, decisions, width), *lines, *shown]


def _room(height: int, time_lines: int) -> int:
    """Return how many rows of words stand below the heading and the time lines."""
    return max(height - 1 - time_lines, 3)


def _why_nothing(picture: Picture) -> str:
    return why_none(picture.stay.decide, picture.forecast_hidden, picture.decisions)


def _age(picture: Picture) -> str:
    """Return how long ago it was calculated; "" where nothing is."""
    return "" if picture.decisions is None else short_span(picture.time - picture.decisions.time)


def _heading(view: View, decisions: Decisions, width: int) -> Strip:
    palette, now = view.palette, view.watch.time
    clock = DayClock(view.stay.display, now)
    said = view.watch.decided.transfer is not None
    left: list[Piece] = [
        (f" {clock(decisions.time)} to {clock(decisions.until)}", palette.strong),
        (f"  {which_set(decisions, said, clock)}", palette.text),
    ]
    age: list[Piece] = [(f"calculated {_age(view.watch)} ago ", palette.label)]
    return both_ends(left, age, width, palette.text)


def _time_lines(view: View, decisions: Decisions, width: int) -> list[list[Piece]]:
    """Return the axis, wind and what is held in figures, and a line for each order."""
    palette, display = view.palette, view.stay.display
    axis = Axis(decisions.time, decisions.until, width - NAME - 1)
    rows = [_hours(view, axis)]
    wind = [(at, speed_figure(ms, display)) for at, ms, _, _ in decisions.wind]
    high = [(at, speed_figure(ms, display)) for at, _, _, ms in decisions.wind]
    held = [(at, _held(ms, display)) for at, ms in decisions.holds]
    rows.append(_figures(view, axis, f"wind {display.speed}", wind))
    rows.append(_figures(view, axis, " may be", high))
    if decisions.why_not_held:
        held = [(decisions.time, f"{NOT_KNOWN} {decisions.why_not_held}")]
    rows.append(_figures(view, axis, "lines hold", held))
    rows += [_order(view, axis, row) for row in decisions.rows]
    if decisions.rows:
        rows.append([(f" {KEY}", palette.label)])
    return rows


def _held(ms: float, display: Display) -> str:
    if not isfinite(ms):
        return NOT_KNOWN
    more = ">" if ms >= CAP_MS else ""
    return f"{more}{held_speed(ms, display).partition(' ')[0]}"


def _hours(view: View, axis: Axis) -> list[Piece]:
    labels = time_labels(view.stay.display, Window(axis.start, axis.end, 0.0, 1.0), axis.columns)
    return [(" " * NAME + labels, view.palette.label)]


def _figures(view: View, axis: Axis, name: str, values: Sequence[tuple[float, str]]) -> list[Piece]:
    """Return figures over the time at which they are, as many as stand apart; a dash where not known."""
    cells, free = [" "] * axis.columns, 0
    for at, text in values:
        column = axis.column(at)
        if column >= free and column + len(text) <= axis.columns:
            cells[column : column + len(text)] = list(text)
            free = column + max(FIGURE, len(text) + 1)
    return [(fill_to(f" {name}", NAME), view.palette.label), ("".join(cells), view.palette.text)]


def _order(view: View, axis: Axis, row: DecideRow) -> list[Piece]:
    """Return the line of one order: to when it is due, from then on to when the limit may be reached, and
    when half of the cases have reached it."""
    palette, limit = view.palette, row.limit
    cells = ["·"] * axis.columns
    first = axis.column(limit.first)
    if not isnan(row.due):
        cells[axis.column(row.due) : first] = "═" * (first - axis.column(row.due))
    cells[first] = FIRST
    if isfinite(limit.expected) and axis.column(limit.expected) > first:
        cells[axis.column(limit.expected)] = HALF
    if not isnan(row.due):
        cells[axis.column(row.due)] = DUE
    if not row.is_open:
        cells[axis.column(row.answered)] = ORDERED
    style = palette.label if not row.is_open else palette.style(palette.stage(_stage(view, row)), bold=True)
    return [(fill_to(f" {NAMES[row.order]}", NAME), style), ("".join(cells), style)]


def _stage(view: View, row: DecideRow) -> Stage:
    """Return the stage of the alert in which an order stands first; normal for none."""
    due = next((each for each in view.watch.due if each.order == row.order), None)
    stages = (each.active_stage for each in view.watch.alerts if due and each.key == ("decide", due.do))
    return next(stages, Stage.NORMAL)


def _words(view: View, decisions: Decisions, width: int) -> list[list[Piece]]:
    """Return each order in words, then what the times rest on and what is not given."""
    palette, display, now = view.palette, view.stay.display, view.watch.time
    clock, rows = DayClock(display, now), list[list[Piece]]()
    if decisions.before_deed:
        older = f"Calculated {_age(view.watch)} ago, before the last deed: it is being worked out anew"
        rows += _wrapped(older, width, palette.strong)
    for row in decisions.rows:
        text = order_words(row, decisions, now, clock)
        rows += _wrapped(text, width, palette.strong if row.is_open else palette.label)
    if not decisions.rows:
        rows += _wrapped(nothing_words(decisions, clock), width, palette.strong)
    for note in note_rows(decisions, display, clock):
        rows += _wrapped(note, width, palette.label)
    return rows


def _wrapped(text: str, width: int, style: Style) -> list[list[Piece]]:
    lines = wrap(text, width - 4)
    return [[("  " if not at else "    ", style), (line, style)] for at, line in enumerate(lines)]
