"""Cells of the line table: what each column shows of one line."""

import math
from dataclasses import dataclass
from typing import Final

from rich.style import Style

from alongside.alerts.bars import BAR_AT, bar_percent
from alongside.cycle.gauge_words import doubtful_figure
from alongside.cycle.line_row import LineRow
from alongside.screens.arrows import trend_arrow
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fill_to
from alongside.screens.stage_styles import is_seen, stage_style, value_style
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
    lead,
    percent,
)
from alongside.wording.marks import BY_CELL, UNKNOWN_STAGES, stage_text, unknown_text
from alongside.wording.safe import safe

STEADY_SHARE = 0.005
"""Change of stretch share an hour below which a line counts as steady."""
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


def draw_stage(cell: Cell, width: int) -> list[Piece]:
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


def draw_id(cell: Cell, width: int) -> list[Piece]:
    bold = cell.palette.style(cell.palette.ink, cell.on, bold=True)
    return [(fill_to(safe(cell.row.id), width), bold)]


def draw_role(cell: Cell, width: int) -> list[Piece]:
    return [(fill_to(cell.row.role, width), cell.palette.style(cell.palette.faint, cell.on))]


def _figure(cell: Cell, text: str, width: int, stage: Stage = Stage.NORMAL) -> list[Piece]:
    return [(fill_to(text, width, right=True), value_style(cell.palette, stage, cell.on))]


def _doubted(cell: Cell, text: str) -> str:
    return doubtful_figure(cell.view.figures, text)


def _stage_of(cell: Cell, cause: Cause) -> Stage:
    return cell.row.stages.get(cause, Stage.NORMAL)


def draw_because(cell: Cell, width: int) -> list[Piece]:
    """Return the cause of the line's stage."""
    words = names.cause(cell.row.because) if cell.row.because else ""
    return [(fill_to(words, width), value_style(cell.palette, cell.row.stage or Stage.NORMAL, cell.on))]


def draw_steep(cell: Cell, width: int) -> list[Piece]:
    """Return `31°` for down, which is the rule, or `50° up`."""
    text = _doubted(cell, lead(cell.row.vertical_deg).removesuffix(" down"))
    return _figure(cell, text, width, _stage_of(cell, "steep"))


def draw_bar(cell: Cell, width: int) -> list[Piece]:
    if not math.isfinite(cell.row.stretch_share):
        return [(fill_to("no stretch", width), cell.palette.style(cell.palette.faint, cell.on))]
    limits = cell.view.stay.limits.stretch_share
    stage = _stage_of(cell, "stretch")
    return stretch_bar(cell.row.stretch_share, stage, limits, width, cell.palette, cell.on)


def draw_worst_bar(cell: Cell, width: int) -> list[Piece]:
    """Return the highest of its bars, with ticks where cautions, warnings and alarms begin."""
    if not math.isfinite(cell.row.bar):
        return [(fill_to("no limit", width), cell.palette.style(cell.palette.faint, cell.on))]
    return stretch_bar(cell.row.bar / 100.0, _worst_stage(cell), ON_BAR, width, cell.palette, cell.on)


def draw_worst_share(cell: Cell, width: int) -> list[Piece]:
    return _figure(cell, _doubted(cell, bar_percent(cell.row.bar)), width, _worst_stage(cell))


def draw_because_worst(cell: Cell, width: int) -> list[Piece]:
    """Return the cause of its highest bar."""
    words = names.cause(cell.row.worst) if cell.row.worst else ""
    return [(fill_to(words, width), value_style(cell.palette, _worst_stage(cell), cell.on))]


def _worst_stage(cell: Cell) -> Stage:
    return cell.row.stage or Stage.NORMAL


def draw_worst_trend(cell: Cell, width: int) -> list[Piece]:
    return _rate(cell, cell.row.bar_per_h / 100.0, width)


def draw_stretch(cell: Cell, width: int) -> list[Piece]:
    return _figure(cell, percent(cell.row.stretch_share), width, _stage_of(cell, "stretch"))


def draw_trend(cell: Cell, width: int) -> list[Piece]:
    return _rate(cell, cell.row.trend_per_h, width)


def _rate(cell: Cell, rate: float, width: int) -> list[Piece]:
    """Return arrow and points of per cent an hour."""
    if not math.isfinite(rate):
        return _figure(cell, "", width)
    arrow = trend_arrow(rate, STEADY_SHARE)
    return _figure(cell, arrow if arrow == "→" else f"{arrow} {figure(abs(rate) * 100.0)}", width)


def draw_load(cell: Cell, width: int) -> list[Piece]:
    display = cell.view.stay.display
    stage = max(_stage_of(cell, cause) for cause in ("load", "brake", "slack"))
    load, computed = (force_figure(kn, display) for kn in (cell.row.counted_kn, cell.row.tension_kn))
    return _figure(cell, f"{load}{BY_CELL}" if load != computed else _doubted(cell, load), width, stage)


def draw_slipped(cell: Cell, width: int) -> list[Piece]:
    """Return `or 20.0`, the load if its brake slipped; nothing where that is not in question."""
    if cell.row.asked is None:
        return _figure(cell, "", width)
    load = force_figure(cell.row.asked.tension_kn, cell.view.stay.display)
    return _figure(cell, _doubted(cell, f"or {load}"), width, Stage.ALARM)


def draw_share(cell: Cell, width: int) -> list[Piece]:
    wll = next(line.smallest_wll_kn for line in cell.view.figures.stay.lines if line.id == cell.row.id)
    return _figure(cell, percent(cell.row.counted_share(wll)), width, _stage_of(cell, "load"))


def draw_gauge(cell: Cell, width: int) -> list[Piece]:
    return _force(cell, cell.row.measured_kn, width)


def draw_lead(cell: Cell, width: int) -> list[Piece]:
    return _figure(cell, degrees(cell.row.horizontal_deg), width)


def draw_out(cell: Cell, width: int) -> list[Piece]:
    return _figure(cell, figure(cell.row.outboard_m, 1), width)


def draw_down(cell: Cell, width: int) -> list[Piece]:
    return _force(cell, cell.row.down_kn, width)


def draw_in(cell: Cell, width: int) -> list[Piece]:
    return _force(cell, cell.row.in_kn, width)


def _force(cell: Cell, kn: float, width: int) -> list[Piece]:
    return _figure(cell, force_figure(kn, cell.view.stay.display), width)
