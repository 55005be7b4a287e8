"""Columns of the line table: what each shows, how wide it is, and which go first where room is short."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from rich.cells import cell_len
from rich.style import Style

from alongside.alerts.bars import BAR_AT, bar_percent
from alongside.cycle.gauge_words import doubtful_figure, why_line_unknown
from alongside.cycle.line_row import LineRow
from alongside.screens.arrows import trend_arrow
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fill_to, length
from alongside.screens.stage_styles import WIDEST, is_seen, stage_style, value_style
from alongside.screens.stretch_bar import stretch_bar
from alongside.screens.view import View
from alongside.stay.causes import Cause
from alongside.stay.model import StageLimits
from alongside.stay.stage import Stage
from alongside.wording import names
from alongside.wording.figures import (
    degrees,
    figure,
    force_figure,
    force_text,
    lead,
    percent,
)
from alongside.wording.marks import BY_CELL, UNKNOWN_STAGES, stage_text, unknown_text
from alongside.wording.safe import safe

STEADY_SHARE = 0.005
"""Change of stretch share an hour below which a line counts as steady."""
BAR_FROM, BAR_GOOD, BAR_TO = 10, 24, 44
"""Cells the stretch bar takes: at least, before columns that one can do without are shown, at most."""
EXTRA_FROM = 6
"""Rank above which one can do without a column."""
GAP = 1
ON_BAR: Final = StageLimits(*(at / 100.0 for at in BAR_AT.values()))
"""Where cautions, warnings and alarms begin on the bar of the worst limit."""


@dataclass(frozen=True, slots=True)
class Cell:
    """What a column may draw from: the row, the view, what lies behind the row."""

    row: LineRow
    view: View
    on: str | None
    flash: bool

    @property
    def palette(self) -> Palette:
        return self.view.palette

    @property
    def ink(self) -> Style:
        return self.palette.style(self.palette.ink, self.on)


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
        Column(("",), WIDEST, 0, _stage),
        Column(("line",), id_width, 0, _id),
        Column(("role",), 6, 6, _role),
        Column(("because",), 7, 3, _because),
        Column(("down°",), 6, 2, _steep, right=True),
        Column(("stretch",), BAR_FROM, 1, _bar, bar=True),
        Column(("",), 5, 1, _stretch, right=True),
        Column(("%/h",), 5, 5, _trend, right=True),
        Column((f"load {unit}",), 7 if unit == "kN" else 6, 1, _load, right=True),
        Column(("slipped", "slip"), 8, 1, _slipped, right=True),
        Column(("WLL",), 5, 2, _share, right=True),
        Column((f"gauge {unit}",), 8, 7, _gauge, right=True),
        Column(("lead°",), 5, 8, _lead, right=True),
        Column(("out m",), 6, 9, _out, right=True),
        Column((f"down {unit}",), 7, 10, _down, right=True),
        Column((f"in {unit}",), 6, 11, _in, right=True),
    ]
    return _without_empty(columns, rows)


def _without_empty(columns: list[Column], rows: Sequence[LineRow]) -> list[Column]:
    """Return columns without that of load cells where there are none, of brakes where none is asked of."""
    if not any(math.isfinite(row.measured_kn) for row in rows):
        columns = [column for column in columns if column.draw is not _gauge]
    if not any(row.asked for row in rows):
        columns = [column for column in columns if column.draw is not _slipped]
    return columns


def _glance_columns(view: View) -> list[Column]:
    """Return the columns about the worst of a line's limits, then those of the most telling single ones."""
    rows, unit = view.figures.lines, view.stay.display.force
    id_width = min(8, max([4, *(cell_len(safe(row.id)) for row in rows)]))
    columns = [
        Column(("",), WIDEST, 0, _stage),
        Column(("line",), id_width, 0, _id),
        Column(("role",), 6, 5, _role),
        Column(("worst of its limits", "worst limit", "worst"), BAR_FROM, 0, _worst_bar, bar=True),
        Column(("",), 6, 0, _worst_share, right=True),
        Column(("because",), 7, 0, _because_worst),
        Column((f"load {unit}",), 7 if unit == "kN" else 6, 1, _load, right=True),
        Column(("slipped", "slip"), 8, 1, _slipped, right=True),
        Column(("%/h",), 5, 2, _worst_trend, right=True),
        Column(("down°",), 6, 7, _steep, right=True),
        Column(("stretch",), 7, 8, _stretch, right=True),
        Column(("WLL",), 5, 8, _share, right=True),
        Column((f"gauge {unit}",), 8, 7, _gauge, right=True),
        Column(("out m",), 6, 9, _out, right=True),
    ]
    return _without_empty(columns, rows)


def _stage(cell: Cell, width: int) -> list[Piece]:
    palette = cell.palette
    stage, no_length = cell.row.stage, cell.row.no_length.name
    if stage is None:
        alert = UNKNOWN_STAGES.get(no_length)
        plain = palette.style(palette.faint, cell.on)
        style = plain if alert is None else stage_style(palette, alert, flash=cell.flash, on=cell.on)
        return [(fill_to(unknown_text(no_length), width), style)]
    seen = is_seen(alert for alert in cell.view.watch.alerts if alert.line == cell.row.id)
    style = stage_style(palette, stage, flash=cell.flash, seen=seen, on=cell.on)
    text = stage_text(stage)
    return [(text, style), (" " * (width - len(text)), cell.ink)]


def _id(cell: Cell, width: int) -> list[Piece]:
    bold = cell.palette.style(cell.palette.ink, cell.on, bold=True)
    return [(fill_to(safe(cell.row.id), width), bold)]


def _role(cell: Cell, width: int) -> list[Piece]:
    return [(fill_to(cell.row.role, width), cell.palette.style(cell.palette.faint, cell.on))]


def _figure(cell: Cell, text: str, width: int, stage: Stage = Stage.NORMAL) -> list[Piece]:
    return [(fill_to(text, width, right=True), value_style(cell.palette, stage, cell.on))]


def _doubted(cell: Cell, text: str) -> str:
    return doubtful_figure(cell.view.figures, text)


def _stage_of(cell: Cell, cause: Cause) -> Stage:
    return cell.row.stages.get(cause, Stage.NORMAL)


def _because(cell: Cell, width: int) -> list[Piece]:
    """Return the cause of the line's stage."""
    words = names.cause(cell.row.because) if cell.row.because else ""
    return [(fill_to(words, width), value_style(cell.palette, cell.row.stage or Stage.NORMAL, cell.on))]


def _steep(cell: Cell, width: int) -> list[Piece]:
    """Return `31°` for down, which is the rule, or `50° up`."""
    text = _doubted(cell, lead(cell.row.vertical_deg).removesuffix(" down"))
    return _figure(cell, text, width, _stage_of(cell, "steep"))


def _bar(cell: Cell, width: int) -> list[Piece]:
    if not math.isfinite(cell.row.stretch_share):
        return [(fill_to("no stretch", width), cell.palette.style(cell.palette.faint, cell.on))]
    limits = cell.view.stay.limits.stretch_share
    stage = _stage_of(cell, "stretch")
    return stretch_bar(cell.row.stretch_share, stage, limits, width, cell.palette, cell.on)


def _worst_bar(cell: Cell, width: int) -> list[Piece]:
    """Return the highest of its bars, with ticks where cautions, warnings and alarms begin."""
    if not math.isfinite(cell.row.bar):
        return [(fill_to("no limit", width), cell.palette.style(cell.palette.faint, cell.on))]
    return stretch_bar(cell.row.bar / 100.0, _worst_stage(cell), ON_BAR, width, cell.palette, cell.on)


def _worst_share(cell: Cell, width: int) -> list[Piece]:
    return _figure(cell, _doubted(cell, bar_percent(cell.row.bar)), width, _worst_stage(cell))


def _because_worst(cell: Cell, width: int) -> list[Piece]:
    """Return the cause of its highest bar."""
    words = names.cause(cell.row.worst) if cell.row.worst else ""
    return [(fill_to(words, width), value_style(cell.palette, _worst_stage(cell), cell.on))]


def _worst_stage(cell: Cell) -> Stage:
    return cell.row.stage or Stage.NORMAL


def _worst_trend(cell: Cell, width: int) -> list[Piece]:
    return _rate(cell, cell.row.bar_per_h / 100.0, width)


def _stretch(cell: Cell, width: int) -> list[Piece]:
    return _figure(cell, percent(cell.row.stretch_share), width, _stage_of(cell, "stretch"))


def _trend(cell: Cell, width: int) -> list[Piece]:
    return _rate(cell, cell.row.trend_per_h, width)


def _rate(cell: Cell, rate: float, width: int) -> list[Piece]:
    """Return arrow and points of per cent an hour."""
    if not math.isfinite(rate):
        return _figure(cell, "", width)
    arrow = trend_arrow(rate, STEADY_SHARE)
    return _figure(cell, arrow if arrow == "→" else f"{arrow} {figure(abs(rate) * 100.0)}", width)


def _load(cell: Cell, width: int) -> list[Piece]:
    display = cell.view.stay.display
    stage = max(_stage_of(cell, cause) for cause in ("load", "brake", "slack"))
    load, computed = (force_figure(kn, display) for kn in (cell.row.counted_kn, cell.row.tension_kn))
    return _figure(cell, f"{load}{BY_CELL}" if load != computed else _doubted(cell, load), width, stage)


def _slipped(cell: Cell, width: int) -> list[Piece]:
    """Return `or 20.0`, the load if its brake slipped; nothing where that is not in question."""
    if cell.row.asked is None:
        return _figure(cell, "", width)
    load = force_figure(cell.row.asked.tension_kn, cell.view.stay.display)
    return _figure(cell, _doubted(cell, f"or {load}"), width, Stage.ALARM)


def _share(cell: Cell, width: int) -> list[Piece]:
    wll = next(line.smallest_wll_kn for line in cell.view.figures.stay.lines if line.id == cell.row.id)
    return _figure(cell, percent(cell.row.counted_share(wll)), width, _stage_of(cell, "load"))


def _gauge(cell: Cell, width: int) -> list[Piece]:
    return _force(cell, cell.row.measured_kn, width)


def _lead(cell: Cell, width: int) -> list[Piece]:
    return _figure(cell, degrees(cell.row.horizontal_deg), width)


def _out(cell: Cell, width: int) -> list[Piece]:
    return _figure(cell, figure(cell.row.outboard_m, 1), width)


def _down(cell: Cell, width: int) -> list[Piece]:
    return _force(cell, cell.row.down_kn, width)


def _in(cell: Cell, width: int) -> list[Piece]:
    return _force(cell, cell.row.in_kn, width)


def _force(cell: Cell, kn: float, width: int) -> list[Piece]:
    return _figure(cell, force_figure(kn, cell.view.stay.display), width)


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
        if column.draw in (_stage, _id, _role):
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
