"""The first row of every page: the pages by their digits, ship and berth, the clock."""

from rich.cells import cell_len
from textual.strip import Strip

from alongside.cycle.picture import Picture
from alongside.screens.board import Board
from alongside.screens.palettes import Palette
from alongside.screens.parts import PAGES, Page, page_of
from alongside.screens.rows import Piece, both_ends, fit, length
from alongside.screens.view import View, turned_to
from alongside.wording.safe import safe
from alongside.wording.times import bare_clock, zone_text

PRESENT = "▸"
"""Before the name of what is in sight, which is reversed too."""


class PageBar(Board):
    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette, here = view.palette, page_of(view.part, view.behind)
        pages: list[Piece] = []
        for digit, page in enumerate(PAGES, start=1):
            pages.append(_named(digit, page, palette, here=page == here))
        when = _when(view, width - length(pages) - 1)
        name = _ship_and_berth(view, width - length(pages) - length(when) - 4)
        return [both_ends([*pages, *name], when, width, palette.text)]

    def clicked(self, view: View, x: int, y: int) -> View:
        """Turn to the page whose name is there."""
        at = 0
        for digit, (page, (_name, parts)) in enumerate(PAGES.items(), start=1):
            at += cell_len(_named(digit, page, view.palette, here=False)[0])
            if x < at:
                return turned_to(view, parts[0])
        return view


def _named(digit: int, page: Page, palette: Palette, *, here: bool) -> Piece:
    text = f"{PRESENT if here else ' '}{digit} {PAGES[page][0]} "
    return text, palette.style(palette.ink, bold=True, reverse=True) if here else palette.strong


def _when(view: View, room: int) -> list[Piece]:
    """Return pace of a replay, date and clock with its zone; where room is short the date goes."""
    palette, display, now = view.palette, view.stay.display, view.watch.time
    time: list[Piece] = [
        (bare_clock(now, display, "%H:%M:%S"), palette.strong),
        (f" {zone_text(now, display)} ", palette.label),
    ]
    date: Piece = (f"{bare_clock(now, display, '%a %d %b')} ", palette.label)
    pace = _pace(view.watch, palette)
    for form in ([*pace, date, *time], [*pace, *time]):
        if length(form) <= room:
            return form
    return time


def _pace(picture: Picture, palette: Palette) -> list[Piece]:
    if not picture.replay:
        return []
    pace = "stopped" if picture.paused else f"×{picture.speed:g}"
    word = "EXERCISE" if picture.exercise else "REPLAY"
    word = word if picture.instructing is None else "INSTRUCTOR"
    return [
        (f" {word} {pace} ", palette.style(palette.normal, bold=True, reverse=True)),
        (" ", palette.text),
    ]


def _ship_and_berth(view: View, room: int) -> list[Piece]:
    """Return ship and berth, as far as there is room for their names."""
    ship, berth = safe(view.stay.ship.name), safe(view.stay.berth.name)
    if room < min(cell_len(ship), 8):
        return []
    whole = cell_len(ship) + 3 + cell_len(berth) <= room
    pieces: list[Piece] = [("  " + fit(ship, room), view.palette.strong)]
    return [*pieces, (f" · {berth}", view.palette.label)] if whole and berth else pieces
