"""Fenders as rows: deflection, reaction and a bar each, or all of them in one row."""

import math

from rich.cells import cell_len
from textual.strip import Strip

from alongside.cycle.picture import Picture
from alongside.screens.board import Board
from alongside.screens.lean_words import Lean, leans, place_words, why_no_lean
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fill_to, fit, strip
from alongside.screens.view import View
from alongside.wording.figures import figure, force_text, percent

WHOLE = 8
"""Cells of a fender's bar."""


class LeanStrip(Board):
    """Two rows beside the table: all fenders at a glance, and where she lies."""

    def rows_wanted(self, view: View, width: int, height: int) -> int:
        """None where she is kept in place anyway."""
        return 2 if view.stay.balance and view.stay.berth.fenders else 0

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        fill = view.palette.text
        return [strip([(" ", fill), *row], width, fill) for row in in_brief(view, width - 1)]


def in_brief(view: View, width: int) -> list[list[Piece]]:
    """All fenders in one row, and where she lies in another, if it is known."""
    palette, picture = view.palette, view.figures
    fenders: list[Piece] = [("Fenders ", palette.label)]
    if why := why_no_lean(picture):
        fenders.append((fit(why, width - 9), palette.text))
    else:
        fenders += at_a_glance(view, width - 8)
    return [fenders, *place_rows(picture, palette)]


def at_a_glance(view: View, width: int) -> list[Piece]:
    """A bar for each fender along the berth, and figures of the hardest pressed."""
    palette, picture = view.palette, view.figures
    from_left = sorted(leans(picture), key=lambda lean: lean.row.x)
    bars = " ".join(lean.bar for lean in from_left)
    if cell_len(bars) > width - 8:
        bars = "".join(lean.bar for lean in from_left)
    pieces: list[Piece] = [(fit(bars, width), palette.style(palette.normal))]
    hardest = max(from_left, key=lambda lean: lean.row.reaction_kn)
    if hardest.row.reaction_kn > 0.0:
        load = force_text(hardest.row.reaction_kn, view.stay.display)
        forms = [f"  most {load}", ""]
        if math.isfinite(hardest.of_table):
            forms.insert(0, f"  most {load}, {percent(hardest.of_table)} of its travel")
        room = width - cell_len(bars)
        pieces.append((next(form for form in forms if cell_len(form) <= room), palette.text))
    return pieces


def fender_rows(view: View, width: int) -> list[list[Piece]]:
    """Every fender: number along the berth, station, deflection, reaction, bar, share of its table."""
    palette, picture = view.palette, view.figures
    if why := why_no_lean(picture):
        return [[("Fenders: ", palette.label), (fit(why, width - 9), palette.text)]]
    return [
        [("fender at x     in  reaction", palette.label)],
        *(_row(lean, view, width) for lean in leans(picture)),
    ]


def _row(lean: Lean, view: View, width: int) -> list[Piece]:
    palette, row = view.palette, lean.row
    pressed = row.reaction_kn > 0.0
    text = (
        f"{figure(row.x, 1):>8} m  {figure(row.deflection, 2)} m  {fill_to(_load(view, row.reaction_kn), 8)}"
    )
    pieces: list[Piece] = [(text if pressed else f"{figure(row.x, 1):>8} m  off", palette.text)]
    if pressed and width >= cell_len(text) + WHOLE + 7:
        pieces += _bar(lean, palette)
    return pieces


def _load(view: View, kn: float) -> str:
    return force_text(kn, view.stay.display)


def _bar(lean: Lean, palette: Palette) -> list[Piece]:
    known = math.isfinite(lean.of_table)
    share = lean.of_table if known else lean.of_hardest
    filled = min(round(share * WHOLE), WHOLE)
    return [
        (" " + "▬" * filled, palette.style(palette.normal)),
        ("·" * (WHOLE - filled), palette.frame),
        (f" {percent(share)}" if known else "", palette.text),
    ]


def place_rows(picture: Picture, palette: Palette) -> list[list[Piece]]:
    """Where she lies, if it is known."""
    place = place_words(picture)
    return [[("She lies ", palette.label), (place, palette.text)]] if place else []
