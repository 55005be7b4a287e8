"""The rule above each page: what the page is or, in its place, what must be known of the screen itself."""

from collections.abc import Hashable

from rich.cells import cell_len
from textual.strip import Strip

from alongside.cycle.holding_words import shorter
from alongside.screens.board import Board
from alongside.screens.gauge_words import BEARS_HOLDING, unsure
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fit, length, strip
from alongside.screens.stage_styles import stage_style
from alongside.screens.view import PAGES, View
from alongside.screens.wind_page import wind_stage
from alongside.stay.stage import Stage
from alongside.wording.figures import counted
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe
from alongside.wording.times import clock, short_span


class Banner(Board):
    def basis(self, view: View) -> Hashable:
        silent = short_span(view.silent_s) if view.silent_s is not None else ""
        watch = view.watch
        of_watch = (
            watch.look_only,
            watch.unkept,
            watch.can_keep,
            watch.keeping,
            watch.holding_text,
            wind_stage(watch),
        )
        of_log = (watch.reading, watch.unrecorded)
        of_keys = (view.reply, view.pending, view.overdue, view.notice)
        return (view.page, view.by_position, view.paused_at, silent, of_keys, view.fault, of_watch, of_log)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette = view.palette
        notices = _notices(view, palette)
        pieces: list[Piece] = []
        for text, style in notices:
            room = width - length(pieces) - 3
            if room > 12:
                pieces += [("─", palette.frame), (fit(f" {text} ", room), style)]
        holds = _holds(view, width - length(pieces) - 4)
        if not notices:
            pieces, holds = _titled(view, width)
        line: Piece = ("─" * (width - length(pieces) - length(holds)), palette.frame)
        return [strip([*pieces, line, *holds], width, palette.frame)]


def _titled(view: View, width: int) -> tuple[list[Piece], list[Piece]]:
    """Return title and holding; the title in short where that leaves room for one clause more."""
    forms: list[tuple[list[Piece], list[Piece]]] = []
    for title in _titles(view):
        pieces: list[Piece] = [("─", view.palette.frame), (f" {title} ", view.palette.label)]
        forms.append((pieces, _holds(view, width - length(pieces) - 4)))
    return max(forms, key=lambda both: length(both[1]))


def _holds(view: View, room: int) -> list[Piece]:
    """Return the wind that is held: the whole sentence, or as many of its first clauses as fit; always with
    how many lines it leaves out."""
    text, stage = safe(view.watch.holding_text), wind_stage(view.watch)
    held = view.watch.holding
    left_out = f", without {counted(len(held.without), 'line')}" if held is not None and held.without else ""
    tugs = len(view.watch.stay.tugs)
    left_out += f", with {counted(tugs, 'tug')}" if tugs else ""
    first = text.split(" Without ")[0].rstrip(".")
    mark = f"{MARKS[stage]} " if stage > Stage.NORMAL else ""
    room -= 1  # for the mark of doubt
    short = tuple(form + left_out for form in shorter(first)[1:])
    forms = (text.rstrip(".") + (f", with {counted(tugs, 'tug')}" if tugs else ""), *short)
    shown = next((form for form in forms if cell_len(mark + form) <= room), "")
    if not shown:
        return []
    style = stage_style(view.palette, stage) if mark else view.palette.text
    shown += "?" if unsure(view.watch, BEARS_HOLDING) else ""
    return [(f" {mark}{shown} ", style), ("─", view.palette.frame)]


def _notices(view: View, palette: Palette) -> list[Piece]:
    """Return what must be known of the screen itself, most pressing first."""
    notices: list[Piece] = []
    loud = palette.style(palette.warning, bold=True, reverse=True)
    if view.silent_s is not None:
        notices.append((f"NO NEW FIGURES for {short_span(view.silent_s)}", loud))
    if view.watch.keeping:
        notices.append((safe(view.watch.keeping), palette.strong))
    if view.pending and view.overdue:
        notices.append((view.pending, loud))
    if view.paused_at is not None:
        since = clock(view.paused_at, view.stay.display, "%H:%M:%S")
        plain = palette.style(palette.ink, bold=True, reverse=True)
        notices.append((f"PAUSED at {since}  alerts go on, p resumes", plain))
    if view.pending and not view.overdue:
        notices.append((view.pending, palette.strong))
    if view.reply:
        notices.append((view.reply, palette.strong))
    if view.watch.unrecorded:
        notices.append((f"NOT ON RECORD: {safe(view.watch.unrecorded)}", loud))
    if view.watch.reading is not None:
        read, upto = (clock(time, view.stay.display, "%a %H:%M") for time in view.watch.reading)
        notices.append((f"Reading the feed log to {upto}, now at {read}", palette.strong))
    if view.fault:
        notices.append((view.fault, palette.style(palette.stage(Stage.WARNING), bold=True)))
    if view.notice and not notices:
        notices.append((view.notice, palette.strong))
    if view.watch.unkept:
        then = "press k to take over" if view.watch.can_keep else "these are the last figures"
        notices.append((f"NOBODY KEEPS WATCH  {then}", loud))
    elif view.watch.look_only:
        notices.append(("LOOKS ONLY  another console keeps the watch", palette.strong))
    return notices


def _titles(view: View) -> tuple[str, ...]:
    """Return the titles of the page, the longest first."""
    if view.page == "lines":
        return ("Lines by position" if view.by_position else "Lines, worst first"), "Lines"
    return (PAGES[view.page],)
