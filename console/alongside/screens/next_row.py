"""The row of what comes next: the next deeds with a count-down, high and low water; as many as fit."""

from textual.strip import Strip

from alongside.cycle.to_come import ToCome, to_come
from alongside.screens.ahead_words import why_no_forecast
from alongside.screens.board import Board
from alongside.screens.rows import Piece, fit, length, strip
from alongside.screens.view import View

ORDER = {"work": 0, "round": 1, "decide": 1}
"""Which kind stands first; all others behind."""
BETWEEN = "  ·  "


class NextRow(Board):
    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette, coming = view.palette, to_come(view.watch)
        pieces: list[Piece] = [(" NEXT ", palette.label)]
        if not coming:
            words = why_no_forecast(view.watch)
            text = f"hours ahead: {words}" if words else "no deed and no limit in the hours ahead"
            return [strip([*pieces, (fit(text, width - 7), palette.text)], width, palette.text)]
        first = min(coming, key=lambda each: (ORDER.get(each.kind, 2), each.time))
        # What was ordered stands before what is advised: else it is ordered twice.
        ordered = [each for each in coming if each.kind == "work" and each is not first]
        others = [each for each in coming if each.kind != "work" and each is not first]
        for each in (first, *ordered, *others):
            more = _pieces(view, each, first=each is first)
            if length(pieces) + length(more) >= width:
                more = _pieces(view, each, first=False)
            if length(pieces) + length(more) >= width:
                break
            pieces += more
        if length(pieces) == len(" NEXT "):
            text = fit(f"{first.at(view.watch.time, view.stay.display)} {first.words}", width - 7)
            pieces.append((text, palette.strong))
        return [strip(pieces, width, palette.text)]


def _pieces(view: View, each: ToCome, *, first: bool) -> list[Piece]:
    palette = view.palette
    at = each.at(view.watch.time, view.stay.display, count_down=first)
    ink = palette.strong if each.kind in ("round", "decide") else palette.text
    return [("" if first else BETWEEN, palette.frame), (f"{at}: ", palette.text), (each.words, ink)]
