"""Figures as rows: label, figure, bar, limits, and what stands beside them, as far as there is room."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from rich.cells import cell_len

from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fill_to, length, wrap
from alongside.screens.stage_styles import value_style
from alongside.screens.stretch_bar import stretch_bar
from alongside.stay.causes import Cause
from alongside.stay.model import StageLimits
from alongside.stay.stage import Stage
from alongside.wording.marks import MARKS

BAR_LIMITS: Final = StageLimits(0.70, 0.85, 1.00)
"""Where the limits stand on every bar: of `LineRow.bars`, by a hundred."""
BECAUSE: Final = "▸"
_LIMITS: Final = len("70/85/100 %")
_BAR: Final = (6, 30)
"""Least and most cells of a bar."""
_LEGIBLE: Final = 14
"""Cells of a bar that details beside it must leave."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure with its limits; `detail` says of what it is a share and goes first where room is short, to a
    row of its own while there are rows. `cause` is "" for what no limit watches."""

    label: str
    text: str
    detail: str = ""
    cause: Cause | str = ""
    stage: Stage | None = None
    limits: str = ""
    bar: float = math.nan
    because: bool = False
    rank: int = 0


def figure_rows(palette: Palette, figures: Sequence[Figure], width: int, room: int) -> list[list[Piece]]:
    """Return figures as rows of at most `width` cells: label, figure, bar, limits. Details stand behind where
    all of them fit, else below, and go before any figure does; then those of the highest rank go."""
    label = max((cell_len(each.label) for each in figures), default=0) + 1
    with_limits = [each for each in figures if each.limits]
    value = max((cell_len(each.text) for each in with_limits), default=0) + 1
    fixed = 2 + 2 + label + value + _LIMITS + 1
    details = max((cell_len(each.detail) for each in figures), default=0)
    behind = width - fixed - _LEGIBLE - 2 >= details
    bar = min(max(width - fixed - (details + 2 if behind else 0), 0), _BAR[1])
    bar = bar if bar >= _BAR[0] else 0
    blocks = []
    for each in figures:
        begin, *rest = [each.text] if each.limits else wrap(each.text, width - 4 - label) or [""]
        row = _row(palette, replace(each, text=begin), label, value, bar)
        style = value_style(palette, each.stage or Stage.NORMAL)
        below: list[list[Piece]] = [[(" " * (4 + label) + part, style)] for part in rest]
        if each.detail and not each.limits and length(row) + len(each.detail) + 2 <= width:
            row = [*row, (f"  {each.detail}", palette.label)]
        elif each.detail and behind:
            row = [*row, (" " * max(fixed + bar - length(row), 1) + each.detail, palette.label)]
        elif each.detail:
            indent = 4 + label
            parts = _detail_rows(each.detail, width - indent)
            below += [[(" " * indent + part, palette.label)] for part in parts]
        blocks.append((each, row, below))
    return _fitted(blocks, room)


def _detail_rows(detail: str, width: int) -> list[str]:
    """Return a detail over as many rows as it takes, broken at a semicolon sooner than elsewhere."""
    if cell_len(detail) <= width:
        return [detail]
    return [row for part in detail.split("; ") for row in wrap(part, width)]


def _fitted(blocks: list[tuple[Figure, list[Piece], list[list[Piece]]]], room: int) -> list[list[Piece]]:
    """Return as many rows as there is room for: details go from the last on, that of the reason last, then
    figures of a high rank, then those in no stage."""
    rows = sum(1 + len(below) for _, _, below in blocks)
    by_need = sorted(
        range(len(blocks)), key=lambda at: (blocks[at][0].because, int(blocks[at][0].stage or 0), -at)
    )
    for at in by_need:
        if rows <= room:
            break
        figure, row, below = blocks[at]
        rows -= len(below)
        blocks[at] = (figure, row, [])

    def need(at: int) -> tuple[int, int, int]:
        figure = blocks[at][0]
        return -figure.rank, int(figure.stage or 0) + 4 * figure.because, -at

    leave = set(sorted(range(len(blocks)), key=need)[: max(rows - room, 0)])
    return [each for at, (_, row, below) in enumerate(blocks) if at not in leave for each in (row, *below)]


def _row(palette: Palette, figure: Figure, label: int, value: int, bar: int) -> list[Piece]:
    stage = figure.stage if figure.stage is not None else Stage.NORMAL
    marked = MARKS[stage] if figure.stage is not None else " "
    style = value_style(palette, stage)
    row: list[Piece] = [
        (BECAUSE if figure.because else " ", palette.strong),
        (f"{marked} ", style),
        (" ", palette.text),
        (fill_to(figure.label, label), palette.strong if figure.because else palette.label),
    ]
    if not figure.limits:
        return [*row, (figure.text, style)]
    row.append((fill_to(figure.text, value), style))
    if bar:
        row += stretch_bar(figure.bar / 100.0, stage, BAR_LIMITS, bar - 1, palette)
        row.append((" ", palette.text))
    row.append((figure.limits, palette.label))
    return row
