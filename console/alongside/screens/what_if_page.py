"""What if: every line now and over the hours ahead, and the rounds, beside what is planned."""

import math
from collections.abc import Hashable
from dataclasses import dataclass, replace
from itertools import zip_longest

import numpy as np
from textual.strip import Strip

from alongside.forecast.model import Forecast, LimitAhead
from alongside.forecast.ship_changes import ship_changes
from alongside.forecast.what_if import WhatIf
from alongside.forecast.words import AheadWords
from alongside.readings import Codes, Floats
from alongside.screens.ahead_words import hour, plan_words
from alongside.screens.board import Board
from alongside.screens.question import EXPECTED
from alongside.screens.rows import Piece, both_ends, fill_to, strip, wrap
from alongside.screens.stage_styles import value_style
from alongside.screens.view import View
from alongside.stay.stage import Stage
from alongside.wording.figures import counted, force_figure, percent
from alongside.wording.marks import MARKS, NOT_KNOWN
from alongside.wording.names import condition
from alongside.wording.safe import safe
from alongside.wording.times import short_span

SAME = 0.005
"""Change of a share of the allowance that is not worth a row."""
SIDE_BY_SIDE = 110
PLANNED, THEN = "  Rounds as planned", "  Rounds with this change"
HEADING = "  line    stretch now    highest ahead  worst   first warning"
LOADS = "     load now"
LOADS_FROM = 84


@dataclass(frozen=True, slots=True)
class Change:
    """One line before and with the changes: stretch now and at its most, load now in kN, the worst stage
    (None where not known) and the first warning, UNIX s, None for none; each (before, after)."""

    line: str
    now: tuple[float, float]
    most: tuple[float, float]
    load: tuple[float, float]
    worst: tuple[Stage | None, Stage | None]
    warning: tuple[float | None, float | None]

    @property
    def size(self) -> float:
        """Return how much it changes, as a share of the allowance; most where it is not known before or
        after."""
        changes = [abs(after - before) for before, after in (self.now, self.most)]
        known = [change for change in changes if math.isfinite(change)]
        return max(known) if len(known) == 2 else math.inf

    @property
    def is_none(self) -> bool:
        return self.size < SAME and self.worst[0] == self.worst[1]


def changes_of(result: WhatIf) -> list[Change]:
    """Return every line, what changes most first."""
    before, after = result.as_it_stands, result.changed
    changes = [
        Change(
            line=line,
            now=(float(result.now.stretch_share[0, k]), float(result.then.stretch_share[0, k])),
            most=(_most(before.stretch_share[:, k]), _most(after.stretch_share[:, k])),
            load=(float(result.now.tension_kn[0, k]), float(result.then.tension_kn[0, k])),
            worst=(_worst(before.stage[:, k]), _worst(after.stage[:, k])),
            warning=(_first_warning(before, line), _first_warning(after, line)),
        )
        for k, line in enumerate(result.lines)
    ]
    return sorted(changes, key=lambda change: (change.is_none, -(change.worst[1] or 0), -change.size))


def _worst(stages: Codes) -> Stage | None:
    return None if stages.max() < 0 else Stage(int(stages.max()))


def _mark(stage: Stage | None) -> str:
    return NOT_KNOWN if stage is None else MARKS[stage]


def _most(shares: Floats) -> float:
    known = shares[np.isfinite(shares)]
    return float(known.max()) if known.size else math.nan


def _first_warning(forecast: Forecast, line: str) -> float | None:
    limits = [limit for limit in forecast.limits_of(line) if limit.stage >= Stage.WARNING]
    return min((limit.expected for limit in limits if limit.expected is not None), default=None)


class WhatIfPage(Board):
    def basis(self, view: View) -> Hashable:
        return (id(view.asked), id(view.answer), view.figures.time // 60.0, view.scroll)

    def move(self, view: View, step: int) -> View:
        """Scroll the lines."""
        return replace(view, scroll=min(max(view.scroll + step, 0), max(len(view.stay.lines) - 1, 0)))

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette = view.palette
        if view.asked is None:
            return [strip([(f"  i asks: {EXPECTED}", palette.text)], width, palette.text)]
        answer = view.answer
        result = answer.result if answer else None
        heading = _heading(view, result, width)
        if answer is None:
            return [heading, strip([("  Calculating …", palette.text)], width, palette.text)]
        if answer.why_not or result is None:
            why = wrap(f"No answer: {answer.why_not}", width - 4)
            return [heading, *(strip([("  " + line, palette.text)], width, palette.text) for line in why)]
        ship = _ship(view, result, width)
        rounds = _rounds(view, result, width)[: max((height - len(ship)) // 2, 3)]
        lines = _lines(view, result, width, height - 2 - len(rounds) - len(ship))
        return [heading, *(strip(row, width, palette.text) for row in (*ship, *lines, [], *rounds))]


def _heading(view: View, result: WhatIf | None, width: int) -> Strip:
    palette = view.palette
    asked = view.asked.words if view.asked else ""
    words: list[Piece] = [(" What if: ", palette.label), (asked, palette.strong)]
    age: list[Piece] = []
    if result is not None:
        ago = short_span(view.figures.time - result.changed.time)
        age = [(f"from {ago} ago on; calculation only ", palette.label)]
    return both_ends(words, age, width, palette.text)


def _ship(view: View, result: WhatIf, width: int) -> list[list[Piece]]:
    """Return the ship as a whole: first times of the worst stage expected, as planned and with the
    changes."""
    palette = view.palette
    rows: list[list[Piece]] = []
    for change in ship_changes(result.as_it_stands.limits, result.changed.limits):
        what = condition(change.cause, change.subject, None)
        stage = change.after.stage if change.after is not None else Stage.NORMAL
        words = f"{what}: {_reached(view, change.before)} → {_reached(view, change.after)}"
        rows += [[(f"  {line}", value_style(palette, stage))] for line in wrap(words, width - 3)]
    return rows or [[("  The ship: no warning expected, with or without this change", palette.label)]]


def _reached(view: View, limit: LimitAhead | None) -> str:
    if limit is None:
        return "none"
    return f"{MARKS[limit.stage]} {AheadWords(view.stay.display, view.figures.time).reached(limit)}"


def _lines(view: View, result: WhatIf, width: int, room: int) -> list[list[Piece]]:
    palette = view.palette
    changes = changes_of(result)
    moved = [change for change in changes if not change.is_none]
    loads = width >= LOADS_FROM
    shown = max(room - 2, 1)
    first = min(view.scroll, max(len(moved) - shown, 0))
    rows: list[list[Piece]] = [[(HEADING + (LOADS if loads else ""), palette.label)]]
    rows += [_line(view, change, loads) for change in moved[first : first + shown]]
    out_of_sight = len(moved) - len(moved[first : first + shown])
    same = len(changes) - len(moved)
    words = [f"{out_of_sight} more that change"] if out_of_sight else []
    words += [f"{counted(same, 'line')} without change"] if same else []
    if words:
        rows.append([(f"  {', '.join(words)}", palette.label)])
    return rows


def _line(view: View, change: Change, loads: bool) -> list[Piece]:
    palette, display, now = view.palette, view.stay.display, view.figures.time
    gone = not math.isfinite(change.now[1])
    first, then = (
        NOT_KNOWN if worst is None else hour(time, display, now) if time else "none"
        for worst, time in zip(change.worst, change.warning, strict=True)
    )
    worst = f"{_mark(change.worst[0])} → {NOT_KNOWN if gone else _mark(change.worst[1])}"
    pieces: list[Piece] = [
        (f"  {fill_to(safe(change.line), 6)}  ", palette.strong),
        _shares(view, change.now),
        _shares(view, change.most),
        (fill_to(worst, 8), value_style(palette, change.worst[1] or Stage.NORMAL)),
        (fill_to(_both(first, then), 18), palette.text),
    ]
    if loads:
        before, after = (force_figure(kn, display) for kn in change.load)
        pieces.append((f"{_both(before, after)} {display.force}", palette.text))
    return pieces


def _shares(view: View, shares: tuple[float, float]) -> Piece:
    """Return shares before and with the changes: `55 → 36 %`."""
    return fill_to(_both(percent(shares[0]), percent(shares[1])), 15), view.palette.text


def _both(before: str, after: str) -> str:
    """Return `55 → 36 %`, the unit once."""
    if before.endswith(" %") and after.endswith(" %"):
        before = before.removesuffix(" %")
    return f"{before} → {after}"


def _rounds(view: View, result: WhatIf, width: int) -> list[list[Piece]]:
    """Return the rounds as planned and with the changes, side by side where there is room."""
    palette, display, now = view.palette, view.stay.display, view.figures.time
    half = width // 2 - 2 if width >= SIDE_BY_SIDE else width - 2
    left, right = (
        [line for text in plan_words(forecast, display, now) for line in wrap(safe(text), half - 2)]
        for forecast in (result.as_it_stands, result.changed)
    )
    if width < SIDE_BY_SIDE:
        return [
            [(PLANNED, palette.label)],
            *([(f"  {line}", palette.text)] for line in left),
            [(THEN, palette.label)],
            *([(f"  {line}", palette.strong)] for line in right),
        ]
    rows: list[list[Piece]] = [[(fill_to(PLANNED, half + 2) + THEN.strip(), palette.label)]]
    for one, other in zip_longest(left, right, fillvalue=""):
        rows.append([(fill_to(f"  {one}", half + 2), palette.text), (other, palette.strong)])
    return rows
