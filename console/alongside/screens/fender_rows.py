"""Fenders as rows: deflection, reaction and a bar each, or all of them in one row."""

import math

from rich.cells import cell_len
from textual.strip import Strip

from alongside.cycle.picture import Picture
from alongside.screens.board import Board
from alongside.screens.fender_words import FenderShare, fender_shares, place_words, why_no_fenders
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fill_to, fit, strip, wrap
from alongside.screens.stage_styles import marked, value_style
from alongside.screens.view import View
from alongside.stay.stage import Stage
from alongside.wording.figures import force_text, metres, percent

WHOLE = 8
"""Cells of a fender's bar."""
SHIP = "Ship "


class FenderStrip(Board):
    """Two rows beside the table: all fenders at a glance, and the place of the ship."""

    def rows_wanted(self, view: View, width: int, height: int) -> int:
        """Return none where the ship is computed in place."""
        return 2 if view.stay.balance and view.stay.berth.fenders else 0

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        fill = view.palette.text
        rows = [_fenders(view, width - 1), *place_rows(view.figures, view.palette)]
        return [strip([(" ", fill), *row], width, fill) for row in rows]


def fenders_in_brief(view: View, width: int) -> list[list[Piece]]:
    """Return all fenders in one row, and the place of the ship below, if it is known."""
    return [_fenders(view, width), *place_rows(view.figures, view.palette, width)]


def _fenders(view: View, width: int) -> list[Piece]:
    palette, picture = view.palette, view.figures
    fenders: list[Piece] = [("Fenders ", palette.label)]
    if why := why_no_fenders(picture):
        fenders.append((fit(why, width - 9), palette.text))
    else:
        fenders += at_a_glance(view, width - 8)
    return fenders


def at_a_glance(view: View, width: int) -> list[Piece]:
    """Return a bar for each fender along the berth, and figures of the hardest pressed."""
    palette, picture = view.palette, view.figures
    from_left = sorted(fender_shares(picture), key=lambda fender: fender.row.x)
    bars = " ".join(fender.bar for fender in from_left)
    if cell_len(bars) > width - 8:
        bars = "".join(fender.bar for fender in from_left)
    pieces: list[Piece] = [(fit(bars, width), palette.style(palette.normal))]
    hardest = max(from_left, key=lambda fender: fender.row.reaction_kn)
    if hardest.row.reaction_kn > 0.0:
        load = force_text(hardest.row.reaction_kn, view.stay.display)
        forms = [f"  most {load}", ""]
        if math.isfinite(hardest.of_table):
            forms.insert(0, f"  most {load}, {percent(hardest.of_table)} of its travel")
        room = width - cell_len(bars)
        pieces.append((next(form for form in forms if cell_len(form) <= room), palette.text))
    return pieces


def fender_rows(view: View, width: int) -> list[list[Piece]]:
    """Return every fender: station, deflection, reaction, bar, share of its table."""
    palette, picture = view.palette, view.figures
    if why := why_no_fenders(picture):
        return [[("Fenders: ", palette.label), (fit(why, width - 9), palette.text)]]
    return [
        [("fender at x     in  reaction", palette.label)],
        *(_row(fender, view, width) for fender in fender_shares(picture)),
    ]


def _row(fender: FenderShare, view: View, width: int) -> list[Piece]:
    palette, row = view.palette, fender.row
    pressed = row.reaction_kn > 0.0
    load = force_text(row.reaction_kn, view.stay.display)
    text = f"{metres(row.x, 1):>10}  {metres(row.deflection)}  {fill_to(load, 8)}"
    pieces: list[Piece] = [(text if pressed else f"{metres(row.x, 1):>10}  off", palette.text)]
    if pressed and width >= cell_len(text) + WHOLE + 7:
        pieces += _bar(fender, palette)
    return pieces


def _bar(fender: FenderShare, palette: Palette) -> list[Piece]:
    known = math.isfinite(fender.of_table)
    share = fender.of_table if known else fender.of_hardest
    filled = min(round(share * WHOLE), WHOLE)
    return [
        (" " + "▬" * filled, palette.style(palette.normal)),
        ("·" * (WHOLE - filled), palette.frame),
        (f" {percent(share)}" if known else "", palette.text),
    ]


def place_rows(picture: Picture, palette: Palette, width: int | None = None) -> list[list[Piece]]:
    """Return the place of the ship, if it is known, over as many rows as it takes, or in one."""
    place = place_words(picture)
    stages = [stage for (cause, _), stage in picture.stages.items() if cause in ("drift", "off_fenders")]
    worst = max(stages, default=Stage.NORMAL)
    words = marked(place, worst)
    rows = ([words] if width is None else wrap(words, width - len(SHIP))) if place else []
    style = value_style(palette, worst)
    return [[(" " * len(SHIP) if at else SHIP, palette.label), (row, style)] for at, row in enumerate(rows)]
