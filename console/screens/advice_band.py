"""The advice: what must be done, large enough to be read from across the control room."""

import re

from rich.style import Style
from textual.strip import Strip

from console.alerts.model import Standing
from console.assessment import Stage
from console.picture import Picture
from console.screens.board import Board
from console.screens.letters import DOTS, can_be_large, large
from console.screens.marks import stage_style, stage_text
from console.screens.palettes import Palette
from console.screens.rows import Piece, both_ends, fit, length, strip, wrap
from console.screens.view import View, needs_answer
from console.screens.wording import outside

GUTTER = 2
"""Cells of the coloured edge."""
BIG_FROM = (140, 44)
"""Columns and rows of the screen from which letters are drawn at double size."""

_ENDS_HEADLINE = re.compile(r": | - | – | \(|; |, |\. |\.$")


def headline(text: str) -> str:
    """The part of the advice that is drawn large: up to its first colon, comma or full stop."""
    return _ENDS_HEADLINE.split(text, maxsplit=1)[0].strip()


def without_digits(text: str) -> str:
    """What a text says, its figures left out: advice that differs only in them is the same advice."""
    return re.sub(r"[\d.,]+", "#", text)


class AdviceBand(Board):
    """Large headline, and the whole sentence with its stage below; in full colour for an alarm only."""

    def rows_wanted(self, view: View, width: int, height: int) -> int:
        if view.page in ("alerts", "history") and height < 30:
            return min(2, len(_plain_rows(view, width)))
        return DOTS + 2 if width >= BIG_FROM[0] and height >= BIG_FROM[1] else 4

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        if height < 4:
            return _plain_rows(view, width)
        text = outside(view.watch.advice.text)
        big = _large_rows(text, width, double=height > DOTS)
        room = width - GUTTER - 1 - length([_chip(view)])
        below = text if len(wrap(text, room)) == 1 else text[len(headline(text)) :].lstrip(" :,;-–(.")
        if big is None or len(wrap(below, room)) > 1:
            return _spelled_out(view, width, height)
        return _banded(view, big, below, width, height)


def _large_rows(text: str, width: int, *, double: bool) -> list[str] | None:
    """The headline in the largest letters that fit; None where it does not fit or has no shapes."""
    words = headline(text)
    if not words or not can_be_large(words):
        return None
    for size in (True, False) if double else (False,):
        rows = large(words, double=size)
        if len(rows[0]) + GUTTER + 2 <= width:
            return rows
    return None


def _is_flashing(view: View) -> bool:
    worst = view.watch.advice.stage
    return view.lit and any(alert.flashes and alert.stage >= worst for alert in view.watch.alerts)


def _chip(view: View) -> Piece:
    """Mark and word of the stage, reversed in turn while something of that stage is not answered."""
    stage = view.watch.advice.stage
    return f" {stage_text(stage)} ", stage_style(view.palette, stage, flash=_is_flashing(view))


def _gutter(view: View) -> Piece:
    palette, stage = view.palette, view.watch.advice.stage
    if stage == Stage.NORMAL:
        return "  ", palette.text
    colour = palette.stage(stage)
    return ("█ " if stage == Stage.CAUTION else "██"), palette.style(colour)


def counts(picture: Picture) -> str:
    """How many alerts wait for an answer, in words; "" for none."""
    waiting = [alert for alert in picture.alerts if needs_answer(alert)]
    past = sum(alert.standing == Standing.RECTIFIED for alert in waiting)
    if not waiting:
        return ""
    return f"{len(waiting)} to acknowledge" + (f", {past} of them over" if past else "")


def _banded(view: View, big: list[str], below: str, width: int, height: int) -> list[Strip]:
    palette, stage = view.palette, view.watch.advice.stage
    fill = palette.text
    letters = palette.style(
        palette.stage(stage), bold=stage >= Stage.WARNING and not palette.ansi, reverse=stage == Stage.ALARM
    )
    edge = _gutter(view)
    block = [strip([edge, (" ", letters), (row, letters)], width, letters) for row in big]
    blank = strip([edge], width, fill)
    spare = height - 1 - len(block)
    sentence: list[Piece] = [edge, _chip(view), (f" {below}", _sentence_style(palette, stage))]
    rest = counts(view.watch)
    row = both_ends(sentence, [(f"{rest} ", palette.label)] if rest else [], width, fill)
    above = [blank] * (spare // 2)
    return [*above, *block, *[blank] * (spare - spare // 2), row]


def _sentence_style(palette: Palette, stage: Stage) -> Style:
    return palette.style(palette.ink, bold=stage > Stage.NORMAL)


def _spelled_out(view: View, width: int, height: int) -> list[Strip]:
    """Advice without a headline that can be large: the stage's word large, beside it the sentence."""
    palette, stage = view.palette, view.watch.advice.stage
    word = large(stage.word)
    letters = palette.style(palette.stage(stage), bold=stage >= Stage.WARNING, reverse=stage == Stage.ALARM)
    edge = _gutter(view)
    left = [[edge, (f" {row} ", letters), ("  ", palette.text)] for row in word]
    beside = width - length(left[0]) - 1
    lines = wrap(outside(view.watch.advice.text), beside)
    style = _sentence_style(palette, stage)
    if len(lines) > len(left):
        return _plain_rows(view, width)[:height]
    lines += [""] * (len(left) - len(lines))
    rows = [
        strip([*start, (line, style)], width, palette.text) for start, line in zip(left, lines, strict=True)
    ]
    tail: list[Piece] = [edge, _chip(view), (f" {counts(view.watch)}", palette.label)]
    return [*rows, strip(tail, width, palette.text)]


def _plain_rows(view: View, width: int) -> list[Strip]:
    """The whole sentence in common letters, over as many rows as it takes, four at most."""
    palette = view.palette
    chip = _chip(view)
    lines = wrap(outside(view.watch.advice.text), width - length([chip]) - 1)
    if len(lines) > 4:
        lines = [*lines[:3], fit(" ".join(lines[3:]), width - length([chip]) - 1)]
    style = palette.strong
    first = strip([chip, (f" {lines[0] if lines else ''}", style)], width, palette.text)
    indent = (" " * (length([chip]) + 1), palette.text)
    return [first, *[strip([indent, (line, style)], width, palette.text) for line in lines[1:]]]
