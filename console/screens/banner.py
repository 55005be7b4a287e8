"""The rule above each page: what the page is or, in its place, what must be known of the screen itself."""

from collections.abc import Hashable

from textual.strip import Strip

from console.assessment import Stage
from console.screens.board import Board
from console.screens.palettes import Palette
from console.screens.rows import Piece, fit, length, strip
from console.screens.view import View
from console.screens.wording import clock, span


class Banner(Board):
    def basis(self, view: View) -> Hashable:
        silent = span(view.silent_s) if view.silent_s is not None else ""
        looks = view.watch.look_only
        return (view.page, view.by_position, view.paused_at, silent, view.said, view.fault, looks)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette = view.palette
        told = _told(view, palette)
        pieces: list[Piece] = []
        for text, style in told:
            room = width - length(pieces) - 3
            if room > 12:
                pieces += [("─", palette.frame), (fit(f" {text} ", room), style)]
        return [strip([*pieces, ("─" * (width - length(pieces)), palette.frame)], width, palette.frame)]


def _told(view: View, palette: Palette) -> list[Piece]:
    """What the rule says, most pressing first."""
    told: list[Piece] = []
    loud = palette.style(palette.warning, bold=True, reverse=True)
    if view.silent_s is not None:
        told.append((f"NO NEW FIGURES for {span(view.silent_s)}", loud))
    if view.paused_at is not None:
        since = clock(view.paused_at, view.stay.display)
        plain = palette.style(palette.ink, bold=True, reverse=True)
        told.append((f"PAUSED  figures stand at {since}, alerts go on, p resumes", plain))
    if view.fault:
        told.append((view.fault, palette.style(palette.stage(Stage.WARNING), bold=True)))
    if view.said:
        told.append((view.said, palette.strong))
    if view.watch.look_only:
        told.append(("LOOKS ONLY  another console keeps the watch", palette.strong))
    return told or [(_title(view), palette.label)]


def _title(view: View) -> str:
    if view.page == "lines":
        return "Lines by position" if view.by_position else "Lines, worst first"
    titles = {
        "alerts": "Alerts, worst first",
        "chart": "Chart",
        "plan": "View from above",
        "detail": "Line",
        "history": "Events of the last 24 h",
        "help": "Keys, marks and cautions",
    }
    return titles[view.page]
