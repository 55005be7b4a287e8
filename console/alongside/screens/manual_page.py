"""The manual on board: the page that belongs to what was in sight when it was opened."""

from collections.abc import Hashable
from functools import lru_cache
from typing import Final

from textual.strip import Strip

from alongside.errors import AlongsideError
from alongside.reports.manual_pages import page
from alongside.screens.board import Board, scroll_by, scrolled
from alongside.screens.manual_text import manual_rows
from alongside.screens.palettes import PALETTES
from alongside.screens.parts import Part
from alongside.screens.rows import Piece, strip
from alongside.screens.view import View

MANUAL: Final[dict[Part, str]] = {
    "lines": "console",
    "table": "console",
    "alerts": "alerts",
    "line": "line",
    "chart": "line",
    "plan": "line",
    "wind": "holding",
    "ahead": "ahead",
    "decide": "ahead",
    "rounds": "ahead",
    "what_if": "ahead",
    "log": "record",
    "gauges": "gauges",
    "remarks": "stay-file",
    "handover": "handover",
    "orders": "handover",
    "self_test": "console",
    "manual": "console",
    "help": "console",
    "station": "exercises",
}
"""The page of the manual that belongs to each page of the screen."""


class ManualPage(Board):
    def basis(self, view: View) -> Hashable:
        return (view.behind, view.scroll)

    def move(self, view: View, step: int) -> View:
        return scroll_by(view, step, len(_rows(view, self.size.width)), self.size.height)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        rows = [strip(row, width, view.palette.text) for row in _rows(view, width)]
        return scrolled(rows, view, width, height)


def _rows(view: View, width: int) -> list[list[Piece]]:
    return _page_rows(MANUAL[view.behind], width, view.palette.name)


@lru_cache(maxsize=4)
def _page_rows(name: str, width: int, palette: str) -> list[list[Piece]]:
    colours = PALETTES[palette]
    try:
        text = page(name)
    except (AlongsideError, OSError) as error:
        text = f"This page of the manual cannot be read: {error}"
    return [[("  ", colours.text), *row] for row in manual_rows(text, width - 4, colours)]
