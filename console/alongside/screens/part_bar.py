"""The rule above each part: the names of the parts of this page and what must be known of the screen itself,
which takes the place of the names where there is no room for both."""

from collections.abc import Hashable
from typing import Final

from rich.cells import cell_len
from textual.strip import Strip

from alongside.cycle.gauge_words import BEARS_HOLDING, unsure
from alongside.cycle.holding_words import shorter
from alongside.screens.board import Board
from alongside.screens.keys import KEYS
from alongside.screens.page_bar import PRESENT
from alongside.screens.palettes import Palette
from alongside.screens.parts import OVER_ANY, PAGES, PARTS, STATION, STATION_NAME, Part, page_of
from alongside.screens.rows import Piece, fit, length, strip
from alongside.screens.stage_styles import stage_style
from alongside.screens.view import View, turned_to
from alongside.screens.wind_page import wind_stage
from alongside.stay.stage import Stage
from alongside.wording.figures import counted
from alongside.wording.marks import MARKS, NOT_KNOWN
from alongside.wording.safe import safe
from alongside.wording.times import clock, short_span

HOLDING_ROOM: Final = 24
"""Columns that the shortest words of what the lines hold take."""
_NAMES: Final[dict[Part, str]] = {**PARTS, STATION: STATION_NAME}


class PartBar(Board):
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
        of_log = (watch.reading, watch.unrecorded, watch.told)
        instructing = watch.instructing and (watch.instructing.trainee, watch.instructing.in_sight)
        of_keys = (view.reply, view.pending, view.overdue, view.notice)
        place = (view.part, view.behind, view.by_position, view.form)
        return (
            place,
            view.paused_at,
            silent,
            of_keys,
            view.fault,
            of_watch,
            of_log,
            instructing,
            view.follows,
        )

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette = view.palette
        pieces = _with_notices(view, width)
        right = _keys_here(view, width - length(pieces) - 2)
        if view.part in WITH_HOLDING and not right:
            right = _holds(view, width - length(pieces) - 4)
        line: Piece = ("─" * (width - length(pieces) - length(right)), palette.frame)
        return [strip([*pieces, line, *right], width, palette.frame)]

    def clicked(self, view: View, x: int, y: int) -> View:
        """Turn to the part whose name is there."""
        at = 0
        for part, (text, _style) in zip(_parts(view), _names(view)[1:], strict=True):
            at += cell_len(text)
            if 1 <= x <= at and _with_notices(view, self.size.width)[: len(_names(view))] == _names(view):
                return turned_to(view, part)
        return view


WITH_HOLDING: Final[tuple[Part, ...]] = ("lines", "table", "plan")
"""Parts above which stands what the lines hold; page Wind says it itself."""


def _parts(view: View) -> tuple[Part, ...]:
    """Return the parts that Tab leads to; over any page the help or the manual beside the part behind it."""
    if view.part in OVER_ANY:
        return (view.behind, view.part)
    return PAGES[page_of(view.part)][1]


def _with_notices(view: View, width: int) -> list[Piece]:
    """Return the names and then the notices, or these alone where both have no room."""
    names, palette = _names(view), view.palette
    for brief in (False, True):
        notices = _notices(view, palette, brief=brief)
        beside = [piece for text, style in notices for piece in (("─", palette.frame), (f" {text} ", style))]
        if length(names) + length(beside) + (HOLDING_ROOM if view.part in WITH_HOLDING else 0) < width:
            return [*names, *beside]
    pieces: list[Piece] = []
    for text, style in _notices(view, palette, brief=False):
        room = width - length(pieces) - 3
        if room > 12:
            pieces += [("─", palette.frame), (fit(f" {text} ", room), style)]
    return pieces


def _names(view: View) -> list[Piece]:
    palette = view.palette
    pieces: list[Piece] = [("─", palette.frame)]
    for part in _parts(view):
        here = part == view.part
        name = "By position" if part == "lines" and view.by_position else _NAMES[part]
        style = palette.style(palette.ink, bold=True) if here else palette.label
        pieces.append((f"{PRESENT if here else ' '}{name} ", style))
    return pieces


def _keys_here(view: View, room: int) -> list[Piece]:
    """Return the keys of this part, as many as fit, and that Tab leads on; while a form is open, its own."""
    palette = view.palette
    keys = [(key.shown, key.short) for key in KEYS if view.part in key.parts]
    if view.part == "alerts":
        keys += [("a", "ack"), ("?", "help"), (str(len(view.watch.alerts)), "alerts")]
    keys += [("Tab", "next")] if len(_parts(view)) > 1 and view.part not in WITH_HOLDING else []
    if view.form:
        plain = view.form == "quit_form" or view.part in WITH_HOLDING
        keys = [] if plain else [("Tab", "field"), ("Esc", "leaves")]
    pieces: list[Piece] = []
    for shown, short in keys:
        more: list[Piece] = [(f" {shown}", palette.strong), (f" {short} ", palette.label)]
        if length(pieces) + length(more) > room:
            break
        pieces += more
    return pieces


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


def _trainee(view: View) -> str:
    """Return who the trainee is, and what he has in sight: `A. Example at Hours, form tend`."""
    instructing = view.watch.instructing
    assert instructing is not None, "asked for only then"
    seen = instructing.in_sight
    parts = {str(part): name for part, name in PARTS.items()}
    form = f", form {safe(seen.form)}" if seen is not None and seen.form else ""
    at = "" if seen is None else f" at {parts.get(seen.part, NOT_KNOWN)}{form}"
    name = instructing.trainee.partition(",")[0]
    return f"{safe(name)}{at}{'' if view.follows else '  (f follows)'}"


def _notices(view: View, palette: Palette, *, brief: bool) -> list[Piece]:
    """Return what must be known of the screen itself, most pressing first."""
    notices: list[Piece] = []
    loud = palette.style(palette.warning, bold=True, reverse=True)
    if view.watch.told:
        notices.append((safe(view.watch.told), palette.style(palette.ink, bold=True, reverse=True)))
    if view.watch.keeping:
        notices.append((safe(view.watch.keeping), palette.strong))
    if view.watch.unkept:
        then = "press k to take over" if view.watch.can_keep else "these are the last figures"
        notices.append((f"NOBODY KEEPS WATCH  {then}", loud))
    if view.silent_s is not None:
        notices.append((f"NO NEW FIGURES for {short_span(view.silent_s)}", loud))
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
    if view.watch.look_only and not view.watch.unkept:
        why = "" if brief else "  another console keeps the watch"
        notices.append((f"LOOKS ONLY{why}", palette.strong))
    if view.watch.instructing is not None:
        notices.append((_trainee(view), palette.strong))
    return notices
