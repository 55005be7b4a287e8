"""The tables of lines: at a glance, each by the worst of its limits, quiet ones together in a row; and all,
with every column, worst first or by position."""

from collections.abc import Hashable, Sequence
from dataclasses import replace
from math import floor
from typing import Final

from rich.cells import cell_len
from textual.strip import Strip

from alongside.cycle.line_row import LineRow
from alongside.screens.board import Board
from alongside.screens.line_cells import Cell
from alongside.screens.line_columns import Column, columns_for, drawn, titles
from alongside.screens.rows import Piece, strip
from alongside.screens.stage_styles import stage_style
from alongside.screens.view import View, chosen_line, lines_in_order, other_line
from alongside.stay.stage import Stage
from alongside.wording.figures import counted
from alongside.wording.marks import MARKS, stage_text
from alongside.wording.safe import safe

MARGIN = 2
LEAST: Final = 3
"""So many lines have a row of their own whatever they are."""


class LineTable(Board):
    def basis(self, view: View) -> Hashable:
        flashing = view.lit and _flashing_lines(view)
        return (id(view.figures), view.line, view.by_position, flashing)

    def move(self, view: View, step: int) -> View:
        """Choose the line so many rows down."""
        return other_line(view, step)

    def rows_wanted(self, view: View, width: int, height: int) -> int:
        """Return the rows that show every line."""
        return len(view.figures.lines) + 2

    def clicked(self, view: View, x: int, y: int) -> View:
        """Choose the line whose row is there."""
        rows, chosen = self.rows(view), chosen_line(view)
        room = self.size.height - 1
        room -= len(rows) > room
        first = _first_shown([row.id for row in rows].index(chosen.id) if chosen else 0, len(rows), room)
        at = first + y - 1
        return (
            replace(view, line=rows[at].id) if y >= 1 and first <= at < min(len(rows), first + room) else view
        )

    def rows(self, view: View) -> list[LineRow]:
        """Return the lines that have a row of their own."""
        return lines_in_order(view)

    def columns(self, view: View, width: int) -> list[Column]:
        return columns_for(view, width)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        rows, chosen = self.rows(view), chosen_line(view)
        columns = self.columns(view, width - MARGIN - 1)
        heading: list[Piece] = [(" " * MARGIN, view.palette.text), *titles(columns, view.palette)]
        room = height - 1
        if len(rows) > room:
            room -= 1
        ids = [row.id for row in rows]
        first = _first_shown(ids.index(chosen.id) if chosen else 0, len(rows), room)
        flashing = _flashing_lines(view) if view.lit else frozenset()
        shown = [
            _row(view, columns, row, width, row is chosen, row.id in flashing)
            for row in rows[first : first + room]
        ]
        strips = [strip(heading, width, view.palette.text), *shown]
        if len(rows) > room:
            strips.append(_footer(view, rows[:first], rows[first + room :], width))
        return strips


class GlanceTable(LineTable):
    """Lines that are quiet share the last row."""

    def rows(self, view: View) -> list[LineRow]:
        """Return the worst three, those near a limit, and the one that the watch chose."""
        order = lines_in_order(view)
        if view.by_position:
            return order
        return [row for at, row in enumerate(order) if at < LEAST or not row.is_quiet or row.id == view.line]

    def columns(self, view: View, width: int) -> list[Column]:
        return columns_for(view, width, glance=True)

    def rows_wanted(self, view: View, width: int, height: int) -> int:
        shown = len(self.rows(view))
        return shown + 1 + (shown < len(view.figures.lines))

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        shown = {row.id for row in self.rows(view)}
        quiet = [row for row in lines_in_order(view) if row.id not in shown]
        if not quiet:
            return super().paint(view, width, height)
        rows = super().paint(view, width, height - 1)
        return [*rows, _quiet_row(view, quiet, width)]


def _quiet_row(view: View, quiet: Sequence[LineRow], width: int) -> Strip:
    """Return `· 1, 2, 3, 5 …: all below 44 %`; where not all have room, how many they are."""
    palette = view.palette
    highest = max((row.bar for row in quiet if row.bar == row.bar), default=0.0)
    below = f"normal, below {floor(highest) + 1} %"
    ids = [safe(row.id) for row in by_place(view, quiet)]
    mark = MARKS[Stage.NORMAL]
    text = f"{mark} {' '.join(ids)}  {below}"
    if cell_len(text) > width - MARGIN - 1:
        text = f"{mark} {counted(len(ids), 'more line')}, {below}"
    return strip([(" " * MARGIN + text, palette.label)], width, palette.text)


def by_place(view: View, rows: Sequence[LineRow]) -> list[LineRow]:
    """Return lines in the order of the stay file."""
    ids = {row.id for row in rows}
    return [row for row in view.figures.lines if row.id in ids]


def _flashing_lines(view: View) -> frozenset[str]:
    return frozenset(alert.line for alert in view.watch.alerts if alert.flashes and alert.line is not None)


def _first_shown(chosen: int, count: int, room: int) -> int:
    """Return the first row shown so that the chosen one is in sight, from the top as long as it can be."""
    return min(max(0, chosen - room + 1), max(0, count - room))


def _row(
    view: View, columns: Sequence[Column], row: LineRow, width: int, is_chosen: bool, flash: bool
) -> Strip:
    on = view.palette.shade if is_chosen else None
    cell = Cell(row, view, on, flash)
    edge = ("▸ " if is_chosen else "  ", cell.ink)
    return strip([edge, *drawn(columns, cell)], width, cell.ink)


def _footer(view: View, above: Sequence[LineRow], below: Sequence[LineRow], width: int) -> Strip:
    """Return how many lines are out of sight, and the worst of them."""
    palette = view.palette
    parts = [f"{len(above)} more above"] if above else []
    parts += [f"{len(below)} more below"] if below else []
    known = [row.stage for row in (*above, *below) if row.stage is not None]
    if not known:
        pieces: list[Piece] = [(f"  {', '.join(parts)}, all unknown", palette.label)]
        return strip(pieces, width, palette.text)
    worst = max(known)
    unknown = len(above) + len(below) - len(known)
    words = ("all" if worst == Stage.NORMAL else "worst") if not unknown else f"{unknown} unknown, worst"
    pieces = [(f"  {', '.join(parts)}, {words} ", palette.label)]
    pieces.append((stage_text(worst), stage_style(palette, worst)))
    return strip(pieces, width, palette.text)
