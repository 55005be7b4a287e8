"""The page that a watch is handed over with."""

from collections.abc import Hashable
from dataclasses import replace
from math import isfinite

from textual.strip import Strip

from alongside.reports.handover import handover_text, watch_began
from alongside.reports.ropes.in_stay import ropes_due
from alongside.screens.board import Board, scroll_by, scrolled
from alongside.screens.rows import Piece, strip, wrap
from alongside.screens.view import View
from alongside.units import utc_day

HANGING = 6
"""Cells by which the rest of a row too long for the screen stands in."""


class HandoverPage(Board):
    def basis(self, view: View) -> Hashable:
        return (id(view.figures), id(view.watch.log), len(view.watch.log), view.scroll)

    def move(self, view: View, step: int) -> View:
        return scroll_by(view, step, len(handover_rows(view, self.size.width)), self.size.height)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        rows = handover_rows(view, width)
        return scrolled([strip([row], width, view.palette.text) for row in rows], view, width, height)


def handover_rows(view: View, width: int) -> list[Piece]:
    """Return the whole page, in rows that fit."""
    palette = view.palette
    picture = replace(view.figures, log=view.watch.log)
    if not isfinite(picture.time):
        return [("  Nothing is known yet", palette.text)]
    rows: list[Piece] = []
    due = ropes_due(picture.stay, utc_day(picture.time))
    for text in handover_text(picture, watch_began(picture.log, picture.time), ropes=due):
        style = palette.text if text.startswith(" ") else palette.label
        first, *rest = _folded(text, width - 3)
        rows += [(f"  {first}", style), *((f"  {row}", style) for row in rest)]
    return rows


def _folded(text: str, cells: int) -> list[str]:
    """Return a row as it is where it fits, else over several, the rest standing in; columns are kept
    apart."""
    if len(text) <= cells:
        return [text]
    start = text[: len(text) - len(text.lstrip())]
    first, *rest = wrap(text, cells - len(start))
    return [start + first, *(" " * HANGING + row for row in wrap(" ".join(rest), cells - HANGING))]
