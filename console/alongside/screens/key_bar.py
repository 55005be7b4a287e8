"""The bar at the foot of the screen: the keys of the page, as many as fit; all of them are in the help."""

from collections.abc import Hashable

from textual.strip import Strip

from alongside.screens.board import Board
from alongside.screens.keys import KEYS, Key
from alongside.screens.rows import Piece, flow, strip
from alongside.screens.view import View


class KeyBar(Board):
    def basis(self, view: View) -> Hashable:
        return (view.page, view.watch.replay)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette = view.palette
        keys = sorted((key for key in KEYS if _is_shown(key, view)), key=lambda key: key.id == "help")
        fields: list[tuple[int, list[Piece]]] = [
            (_rank(key), [(key.shown, palette.strong), (f" {key.short}", palette.label)]) for key in keys
        ]
        row = flow(fields, width - 1, ("  ", palette.text))
        return [strip([(" ", palette.text), *row], width, palette.text)]


def _is_shown(key: Key, view: View) -> bool:
    if key.id == "back":
        return view.page != "lines"
    here = not key.pages or view.page in key.pages
    return key.rank is not None and here and (view.watch.replay or not key.replay)


def _rank(key: Key) -> int:
    return 0 if key.id == "back" else (key.rank or 0)
