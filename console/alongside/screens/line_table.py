"""The table of lines: stage, lead, stretch against its allowance, load, trend; worst first or by position."""

from collections.abc import Hashable, Sequence

from textual.strip import Strip

from alongside.cycle.picture import LineRow
from alongside.screens.board import Board
from alongside.screens.line_columns import Cell, Column, columns_for, drawn, titles
from alongside.screens.rows import Piece, strip
from alongside.screens.stage_styles import stage_style
from alongside.screens.view import View, chosen_line, lines_in_order, other_line
from alongside.stay.stage import Stage
from alongside.wording.marks import stage_text

MARGIN = 2


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

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        rows, chosen = lines_in_order(view), chosen_line(view)
        columns = columns_for(view, width - MARGIN - 1)
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
