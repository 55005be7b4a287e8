"""Columns of the line table: how wide each is, and which go first where room is short."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from rich.cells import cell_len

from alongside.cycle.gauge_words import why_line_unknown
from alongside.cycle.line_row import LineRow
from alongside.screens import line_cells
from alongside.screens.line_cells import Cell
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fill_to, length
from alongside.screens.stage_styles import WIDEST
from alongside.screens.view import View
from alongside.wording.figures import (
    force_text,
)
from alongside.wording.safe import safe

BAR_FROM, BAR_GOOD, BAR_TO = 10, 24, 44
"""Cells the stretch bar takes: at least, before columns that one can do without are shown, at most."""
EXTRA_FROM = 6
"""Rank above which one can do without a column."""
GAP = 1
WORST_TITLES = ("worst of its limits", "worst limit", "worst")


@dataclass(frozen=True, slots=True)
class Column:
    """`rank` 0 always stays; the higher, the sooner a column goes. `bar` takes what room is left."""

    titles: tuple[str, ...]
    """The first of these that fits is the heading."""
    width: int
    rank: int
    draw: Callable[[Cell, int], list[Piece]]
    right: bool = False
    bar: bool = False


def columns_for(view: View, width: int, *, glance: bool = False) -> list[Column]:
    """Return the columns that fit in `width` cells, whole, the bar as wide as the rest allows: those of a
    glance, or every one."""
    columns = _glance_columns(view) if glance else _all_columns(view)
    while len(columns) > 1:
        last = max(columns, key=lambda column: column.rank)
        for_bar = BAR_GOOD - BAR_FROM if last.rank > EXTRA_FROM else 0
        if _width(columns) + for_bar <= width:
            break
        columns.remove(last)
    spare = width - _width(columns)
    return [
        replace(column, width=min(column.width + spare, BAR_TO)) if column.bar else column
        for column in columns
    ]


def _width(columns: Sequence[Column]) -> int:
    return sum(column.width for column in columns) + GAP * (len(columns) - 1)


def _all_columns(view: View) -> list[Column]:
    rows, unit = view.figures.lines, view.stay.display.force
    id_width = min(8, max([4, *(cell_len(safe(row.id)) for row in rows)]))
    columns = [
        Column(("",), WIDEST, 0, line_cells.draw_stage),
        Column(("line",), id_width, 0, line_cells.draw_id),
        Column(("role",), 6, 6, line_cells.draw_role),
        Column(("because",), 7, 3, line_cells.draw_because),
        Column(("down°",), 6, 2, line_cells.draw_steep, right=True),
        Column(("stretch",), BAR_FROM, 1, line_cells.draw_bar, bar=True),
        Column(("",), 5, 1, line_cells.draw_stretch, right=True),
        Column(("%/h",), 5, 5, line_cells.draw_trend, right=True),
        Column((f"load {unit}",), 7 if unit == "kN" else 6, 1, line_cells.draw_load, right=True),
        Column(("slipped", "slip"), 8, 1, line_cells.draw_slipped, right=True),
        Column(("WLL",), 5, 2, line_cells.draw_share, right=True),
        Column((f"gauge {unit}",), 8, 7, line_cells.draw_gauge, right=True),
        Column(("lead°",), 5, 8, line_cells.draw_lead, right=True),
        Column(("out m",), 6, 9, line_cells.draw_out, right=True),
        Column((f"down {unit}",), 7, 10, line_cells.draw_down, right=True),
        Column((f"in {unit}",), 6, 11, line_cells.draw_in, right=True),
    ]
    return _without_empty(columns, rows)


def _without_empty(columns: list[Column], rows: Sequence[LineRow]) -> list[Column]:
    """Return columns without that of load cells where there are none, of brakes where none is asked of."""
    if not any(math.isfinite(row.measured_kn) for row in rows):
        columns = [column for column in columns if column.draw is not line_cells.draw_gauge]
    if not any(row.asked for row in rows):
        columns = [column for column in columns if column.draw is not line_cells.draw_slipped]
    return columns


def _glance_columns(view: View) -> list[Column]:
    """Return the columns about the worst of a line's limits, then those of the most telling single ones."""
    rows, unit = view.figures.lines, view.stay.display.force
    id_width = min(8, max([4, *(cell_len(safe(row.id)) for row in rows)]))
    columns = [
        Column(("",), WIDEST, 0, line_cells.draw_stage),
        Column(("line",), id_width, 0, line_cells.draw_id),
        Column(("role",), 6, 5, line_cells.draw_role),
        Column(
            ("worst of its limits", "worst limit", "worst"), BAR_FROM, 0, line_cells.draw_worst_bar, bar=True
        ),
        Column(("",), 6, 0, line_cells.draw_worst_share, right=True),
        Column(("because",), 7, 0, line_cells.draw_because_worst),
        Column((f"load {unit}",), 7 if unit == "kN" else 6, 1, line_cells.draw_load, right=True),
        Column(("slipped", "slip"), 8, 1, line_cells.draw_slipped, right=True),
        Column(("%/h",), 5, 2, line_cells.draw_worst_trend, right=True),
        Column(("down°",), 6, 7, line_cells.draw_steep, right=True),
        Column(("stretch",), 7, 8, line_cells.draw_stretch, right=True),
        Column(("WLL",), 5, 8, line_cells.draw_share, right=True),
        Column((f"gauge {unit}",), 8, 7, line_cells.draw_gauge, right=True),
        Column(("out m",), 6, 9, line_cells.draw_out, right=True),
    ]
    return _without_empty(columns, rows)


def drawn(columns: Sequence[Column], cell: Cell) -> list[Piece]:
    """Return one row of the table as pieces; of a line that nothing is known of, why."""
    if cell.row.stage is None:
        return _unknown(columns, cell)
    pieces: list[Piece] = []
    for index, column in enumerate(columns):
        if index:
            pieces.append((" " * GAP, cell.ink))
        part = column.draw(cell, column.width)
        pieces.extend(part)
        pieces.append((" " * (column.width - length(part)), cell.ink))
    return pieces


def _unknown(columns: Sequence[Column], cell: Cell) -> list[Piece]:
    """Return stage, id and role, then why nothing is known of the line, and what its load cell says."""
    pieces: list[Piece] = []
    for column in columns:
        if column.draw in (line_cells.draw_stage, line_cells.draw_id, line_cells.draw_role):
            pieces += [*column.draw(cell, column.width), (" " * GAP, cell.ink)]
    words = why_line_unknown(cell.view.figures, cell.row)
    if math.isfinite(cell.row.measured_kn):
        words += f"; load cell {force_text(cell.row.measured_kn, cell.view.stay.display)}"
    room = _width(columns) - length(pieces)
    return [*pieces, (fill_to(words, max(room, 1)), cell.palette.style(cell.palette.faint, cell.on))]


def titles(columns: Sequence[Column], palette: Palette) -> list[Piece]:
    """Return the heading: titles that fit their columns, as wide as these."""
    shown = [fill_to(_title(column), column.width, right=column.right) for column in columns]
    return [((" " * GAP).join(shown), palette.label)]


def _title(column: Column) -> str:
    return next((title for title in column.titles if cell_len(title) <= column.width), "")
