"""Two stay files side by side, from their plans alone: which holds her worse, and what differs."""

from collections.abc import Callable, Iterator
from itertools import zip_longest
from textwrap import wrap
from typing import Final

from alongside.mechanics.holding_search import CAP_MS
from alongside.reports.compared_figures import Extreme, Held, SideFigures, figures_of
from alongside.reports.compared_sides import Side
from alongside.reports.comparison_verdict import judgement
from alongside.reports.critique.all import note_row
from alongside.stay.model import Display
from alongside.wording.figures import bearing, counted, degrees, held_speed, metres, percent
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.names import condition, what_gives, without
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

NONE = "none"
NAME: Final = 20
BETWEEN: Final = 5
"""Columns for the mark and the blanks."""
LEAST: Final = 16
"""No column of the table is narrower, however narrow the terminal is."""


def comparison_rows(one: Side, other: Side, columns_there: int | None = None) -> list[str]:
    """Return which of two holds her worse, and a table of what matters, `<>` where the two differ; its two
    columns broken between words where so many columns of a terminal are less than it takes."""
    display = one.basis.stay.display
    clock = DayClock(display, one.forecast.time)
    figures = figures_of((one, other))
    columns = [_column(each, display, clock) for each in figures]
    table = list(zip(*columns, strict=True))
    width = max(26, *(len(text) for row in table for _, text in row))
    if columns_there is not None:
        width = min(width, max((columns_there - NAME - BETWEEN) // 2, LEAST))
    until = clock(float(one.forecast.times[-1]))
    head = f"from {clock.whole(one.forecast.time)} to {until}, by the plans alone"
    rows = [head, "", judgement(figures[0], figures[1], display).sentence, ""]
    for (name, left), (_, right) in table:
        mark = "<>" if left != right else "  "
        both = zip_longest(wrap(left, width) or [""], wrap(right, width) or [""], fillvalue="")
        for count, (here, there) in enumerate(both):
            named = " " * (NAME + 2) if count else f"{name:<{NAME}}{mark}"
            rows.append(f"{named} {here:<{width}}  {there}".rstrip())
    return [*rows, *_notes_of_one(*figures)]


def _notes_of_one(*sides: SideFigures) -> Iterator[str]:
    """Yield what guidance has against the plan of one side and not of the other."""
    known = [{note.text for note in side.notes} for side in sides]
    for side, others in zip(sides, reversed(known), strict=True):
        only = [note for note in side.notes if note.text not in others]
        if only:
            yield from ("", f"Guidance has against {side.file} alone:")
            yield from (f"  {note_row(note)}" for note in only)


def _column(side: SideFigures, display: Display, clock: DayClock) -> list[tuple[str, str]]:
    """Return each figure of a side with its name, in words."""
    warning = side.first_warning
    return [
        ("stay", safe(side.name)),
        ("file", side.file),
        ("lines", str(len(side.lines))),
        ("breast lines", ", ".join(map(safe, side.breasts)) or NONE),
        ("hold, square off", _held(side.square_off, display, with_bearing=False)),
        ("hold, weakest", _held(side.weakest, display)),
        ("off fenders from", _contact(side, display)),
        ("WOULD PART", _lines(side.would_part, clock)),
        ("hangs slack", _lines(side.slack, clock)),
        ("tending rounds", str(side.rounds)),
        ("moves of lines", str(side.moves)),
        ("no length serves", f"line {', '.join(map(safe, side.incurable))}" if side.incurable else NONE),
        (
            "first warning",
            f"{condition(warning.cause, warning.subject, warning.line)} at {clock(warning.expected)}"
            if warning is not None and warning.expected is not None
            else NONE,
        ),
        ("highest stretch", _extreme(side.stretch, clock, percent)),
        ("highest load", _extreme(side.load, clock, percent)),
        ("steepest lead", _extreme(side.steepest, clock, degrees)),
        ("least UKC", _extreme(side.under_keel, clock, metres)),
        ("against guidance", counted(len(side.notes), "note") if side.notes else NONE),
        ("not known", without(side.not_known) or NONE),
    ]


def _held(held: Held | None, display: Display, with_bearing: bool = True) -> str:
    if held is None:
        return NOT_KNOWN
    gives = what_gives(held.gives, held.where)
    if held.ms <= 0.0:
        return f"over a limit in calm: {gives}"
    speed = held_speed(held.ms, display, CAP_MS)
    from_where = f" from {bearing(held.from_deg)}" if with_bearing else ""
    if held.gives == "drift":
        return f"ship {metres(held.drift_m, 1)} off place at {speed}{from_where}"
    return f"{speed}{from_where}{f', then {gives}' if gives else ''}"


def _contact(side: SideFigures, display: Display) -> str:
    if side.contact is None:
        return NOT_KNOWN
    speed = held_speed(side.contact.ms, display, CAP_MS)
    return speed if side.contact.ms >= CAP_MS else f"{speed} from {bearing(side.contact.from_deg)}"


def _lines(those: tuple[tuple[str, float], ...], clock: DayClock) -> str:
    """Return `2, 5 from 13:15`, the first instant of any of them."""
    if not those:
        return NONE
    return f"{', '.join(safe(line) for line, _ in those)} from {clock(min(time for _, time in those))}"


def _extreme(extreme: Extreme | None, clock: DayClock, word: Callable[[float], str]) -> str:
    if extreme is None:
        return NOT_KNOWN
    line = f"line {safe(extreme.line)} " if extreme.line else ""
    return f"{line}{word(extreme.value)} at {clock(extreme.time)}"
