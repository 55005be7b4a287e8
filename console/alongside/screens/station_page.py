"""What an instructor knows beside the trainee's picture: how it goes, what comes, what was ordered."""

from collections.abc import Hashable, Iterator
from typing import Final

from textual.strip import Strip

from alongside.screens.board import Board, scroll_by, scrolled
from alongside.screens.rows import Piece, strip, wrap
from alongside.screens.view import View

NOTHING: Final = "Nothing is known of the trainee yet"


class StationPage(Board):
    def basis(self, view: View) -> Hashable:
        return (view.watch.instructing, view.scroll)

    def move(self, view: View, step: int) -> View:
        return scroll_by(view, step, len(list(_rows(view, self.size.width))), self.size.height)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        rows = [strip([row], width, view.palette.text) for row in _rows(view, width)]
        return scrolled(rows, view, width, height)


def _rows(view: View, width: int) -> Iterator[Piece]:
    """Return headings and their rows; what a row has too many words for goes on below it."""
    palette, instructing = view.palette, view.watch.instructing
    if instructing is None:
        yield f"  {NOTHING}", palette.text
        return
    yield f"  {instructing.trainee}", palette.strong
    for head, rows in instructing.sections or ((NOTHING, ()),):
        yield f"  {head}", palette.label
        for row in rows:
            first, *rest = wrap(row, width - 6) or [""]
            yield f"    {first}", palette.text
            yield from ((f"      {more}", palette.text) for more in rest)
