"""The rows at the foot of the screen: the deeds, the same on every page, with their keys."""

from collections.abc import Hashable, Sequence
from dataclasses import replace

from textual.strip import Strip

from alongside.reports.self_test import due_words
from alongside.screens.board import Board
from alongside.screens.keys import Key, keys_of
from alongside.screens.rows import Piece, length, strip
from alongside.screens.view import View

GAP = 2
DUE = "self-test due"
"""What its key says while a watch has made no self-test: a reminder, no alert."""
DUE_RANK = 3
MOST_ROWS = 2


class KeyBar(Board):
    def basis(self, view: View) -> Hashable:
        return view.watch.replay, view.watch.instructing is None, bool(due_words(view.watch))

    def rows_wanted(self, view: View, width: int, height: int) -> int:
        """Return the rows in which every deed is named, two at most."""
        return min(len(_in_rows(_fields(view), width - 1)), MOST_ROWS)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        fields = _fields(view)
        while len(rows := _in_rows(fields, width - 1)) > max(height, 1):
            fields.remove(max(fields, key=lambda key: key.rank or 0))
        text = view.palette.text
        return [strip([(" ", text), *_pieces(row, view)], width, text) for row in rows]


def _fields(view: View) -> list[Key]:
    keys = [key for key in keys_of(view.watch) if key.rank is not None]
    if due_words(view.watch):
        keys = [replace(key, short=DUE, rank=DUE_RANK) if key.id == "self_test" else key for key in keys]
    return keys


def _cells(key: Key) -> int:
    return len(key.shown) + 1 + len(key.short)


def _in_rows(keys: Sequence[Key], width: int) -> list[list[Key]]:
    """Return keys over as many rows as they take, in order."""
    rows: list[list[Key]] = [[]]
    room = width
    for key in keys:
        if rows[-1] and _cells(key) > room:
            rows.append([])
            room = width
        rows[-1].append(key)
        room -= _cells(key) + GAP
    return rows


def _pieces(keys: Sequence[Key], view: View) -> list[Piece]:
    pieces: list[Piece] = []
    for key in keys:
        if length(pieces):
            pieces.append((" " * GAP, view.palette.text))
        pieces += [(key.shown, view.palette.strong), (f" {key.short}", view.palette.label)]
    return pieces
