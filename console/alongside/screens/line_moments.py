"""A line now, at high and at low water, and with a metre out or in: rows of a small table."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from rich.cells import cell_len

from alongside.cycle.gauge_words import doubtful_figure
from alongside.cycle.line_moment import Moment
from alongside.cycle.line_section import Section
from alongside.cycle.metre_tried import MetreTried, Tried
from alongside.cycle.picture import Picture
from alongside.cycle.who_holds import WHEN
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fill_to, wrap
from alongside.screens.stage_styles import marked, value_style
from alongside.stay.causes import Cause
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.figures import force_figure, force_text, lead, metres, percent
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.safe import safe
from alongside.wording.times import clock

_FIRST_GO: Final = ("out", "water", "stretch")
"""Columns in the order in which they go where room is short."""
OFF_M: Final = 0.02
"""Off her fenders by so much is said."""


@dataclass(frozen=True, slots=True)
class Cell:
    text: str
    stage: Stage = Stage.NORMAL


def moment_rows(picture: Picture, section: Section, palette: Palette, width: int) -> list[list[Piece]]:
    """Return the head and a row a moment; columns go whole where they do not fit."""
    display = picture.stay.display
    table = [(each, _cells(picture, each, display)) for each in section.moments]
    columns = list(table[0][1])
    whens = [_when(each, display) for each in section.moments]
    first = max(map(cell_len, whens)) + 2
    sizes = {
        name: max(cell_len(name), *(cell_len(_shown(cells[name])) for _, cells in table)) + 2
        for name in columns
    }
    for name in _FIRST_GO:
        if first + 2 + sum(sizes[each] for each in columns) > width:
            columns.remove(name)
    head = "".join(fill_to(name, sizes[name], right=False) for name in columns)
    rows: list[list[Piece]] = [[(f"  {fill_to('', first)}{head}", palette.label)]]
    for (moment, cells), when in zip(table, whens, strict=True):
        row: list[Piece] = [(f"  {fill_to(when, first)}", palette.strong)]
        if moment.why and not moment.is_drawn:
            rows.append([*row, (f"{NOT_KNOWN} {moment.why}", palette.label)])
            continue
        for name in columns:
            cell = cells[name]
            row.append((fill_to(_shown(cell), sizes[name]), value_style(palette, cell.stage)))
        rows.append(row)
    return rows


def _shown(cell: Cell) -> str:
    return marked(cell.text, cell.stage)


def _when(moment: Moment, display: Display) -> str:
    word = WHEN[moment.when]
    return f"{word} {clock(moment.time, display)}" if math.isfinite(moment.time) else word


def _cells(picture: Picture, moment: Moment, display: Display) -> dict[str, Cell]:
    """Return the figures of a moment; both loads while brakes are in question."""

    def of(cause: Cause) -> Stage:
        return moment.stages.get(cause, Stage.NORMAL)

    def text(figure: str) -> str:
        return doubtful_figure(picture, figure)

    load, stretch = force_text(moment.tension_kn, display), percent(moment.stretch_share)
    slipped = force_text(moment.slipped_kn, display)
    if math.isfinite(moment.slipped_kn + moment.tension_kn) and slipped != load:
        load = f"{force_figure(moment.tension_kn, display)} or {slipped}"
        stretch = f"{stretch.removesuffix(' %')} or {percent(moment.slipped_stretch)}"
    slack, tight = of("slack"), max(of("load"), of("brake"))
    return {
        "water": Cell(text(metres(moment.water))),
        "leads": Cell(text(lead(moment.vertical_deg)), of("steep")),
        "out": Cell(metres(moment.outboard_m, 1)),
        "load": Cell(text(load), max(slack, tight)),
        "stretch": Cell(text(stretch), of("stretch")),
    }


def metre_rows(
    display: Display, tried: MetreTried, load_kn: float, mbl_kn: float, palette: Palette, width: int
) -> list[list[Piece]]:
    """Return what a metre out and a metre in would do, of a line that breaks at `mbl_kn`; one row where
    nothing is tried."""
    if tried.why:
        text = f"A metre out or in: {NOT_KNOWN} {tried.why}"
        return [[(f"  {part}", palette.label)] for part in wrap(text, width - 2)]
    rows = []
    for each, word in ((tried.out, "1 m out"), (tried.in_, "1 m in")):
        parts = each.tension_kn > mbl_kn
        stage = Stage.ALARM if parts else max(each.stages.values(), default=Stage.NORMAL)
        text = _metre_text(display, each, load_kn)
        if parts:
            text = f"{marked('WOULD PART', stage)}: MBL {force_text(mbl_kn, display)}, {text}"
        begin, *rest = wrap(text, width - 12) or [""]
        style = value_style(palette, stage)
        rows.append([(f"  {fill_to(word, 9)}", palette.strong), (begin, style)])
        rows += [[(" " * 11 + part, style)] for part in rest]
    return rows


def _metre_text(display: Display, each: Tried, load_kn: float) -> str:
    if each.why:
        return f"{NOT_KNOWN} {each.why}"

    def of(*causes: Cause) -> Stage:
        return max(each.stages.get(cause, Stage.NORMAL) for cause in causes)

    change = _change(each.tension_kn - load_kn, display)
    load = f"load {force_text(each.tension_kn, display)} ({change})"
    parts = [
        marked(load, of("load", "brake", "slack")),
        marked(f"stretch {percent(each.stretch_share)}", of("stretch")),
        marked(lead(each.vertical_deg), of("steep")),
    ]
    if each.other:
        parts.append(f"line {safe(each.other)} {_change(each.other_kn, display)} {display.force}")
    if each.off_m >= OFF_M:
        parts.append(f"off fenders {metres(each.off_m)}")
    return ", ".join(parts)


def _change(kn: float, display: Display) -> str:
    figure = force_figure(abs(kn), display)
    return f"{'-' if kn < 0.0 else '+'}{figure}"


def past_rows(
    picture: Picture, line: str, display: Display, palette: Palette, width: int, most: int
) -> list[list[Piece]]:
    """Return what was done to a line in the last 24 h, newest first, with how many more there are."""
    deeds = [each for each in picture.log if each.line == line and each.event in _DEEDS]
    if not deeds:
        return [[("  Not tended in the last 24 h", palette.label)]]
    rows: list[list[Piece]] = []
    for at, event in enumerate(reversed(deeds)):
        words = safe(event.text).removeprefix(f"Line {safe(line)} ").removeprefix(f"Line {safe(line)}: ")
        begin, *rest = wrap(words, width - 10) or [""]
        block: list[list[Piece]] = [
            [(f"  {clock(event.time, display)}  ", palette.label), (begin, palette.text)],
            *([(" " * 9 + part, palette.text)] for part in rest),
        ]
        if at and len(rows) + len(block) > most - (at < len(deeds) - 1):
            return [*rows, [(f"  {len(deeds) - at} more in the log", palette.label)]]
        rows += block
    return rows


_DEEDS: Final[Sequence[str]] = ("tended", "made_fast", "let_go", "parted", "brake_slipped", "brake_held")
