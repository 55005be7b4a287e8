"""What if: the verdict, what holds her now, every line, the hours ahead and the rounds, each as things stand
and with the change."""

from collections.abc import Hashable
from dataclasses import replace
from itertools import zip_longest
from typing import Final

from rich.cells import cell_len
from textual.strip import Strip

from alongside.forecast import leaving_words, period_words, typed_passing
from alongside.forecast.model import Forecast, LimitAhead
from alongside.forecast.other_lines import farther_words, one_more_words
from alongside.forecast.ship_changes import ship_changes
from alongside.forecast.what_if.answer import WhatIf
from alongside.forecast.what_if.losses import Effect
from alongside.forecast.what_if.sentences import Row, rows_of, verdict_sentence
from alongside.forecast.what_if.typed import EXAMPLES
from alongside.forecast.what_if.verdict import Word
from alongside.forecast.words import AheadWords
from alongside.screens.ahead_words import plan_words
from alongside.screens.board import Board
from alongside.screens.plan import plan_strips
from alongside.screens.question import Answer
from alongside.screens.rows import Piece, both_ends, fill_to, strip, wrap
from alongside.screens.stage_styles import value_style
from alongside.screens.view import View
from alongside.screens.what_if_lines import line_rows
from alongside.stay.stage import Stage
from alongside.wording.figures import counted
from alongside.wording.marks import MARKS
from alongside.wording.names import condition
from alongside.wording.safe import safe
from alongside.wording.times import clock

SIDE_BY_SIDE = 110
PLANNED, THEN = "  Rounds as planned", "  Rounds with this change"
PLAN_ROWS: Final = 12
"""Rows from which leads that are proposed are drawn below what is said of them."""
ARRANGE: Final = "Before arrival, which lines to run from where: the command alongside arrange."
LABEL, CELL, MARK = 20, 29, 9
"""Columns of the table of what holds her: names, figures at the most, what becomes of them."""


class WhatIfPage(Board):
    def basis(self, view: View) -> Hashable:
        return (id(view.asked), id(view.answer), view.scroll, _standing_refusal(view))

    def move(self, view: View, step: int) -> View:
        """Scroll what stands below the verdict, as far as it goes."""
        head, body = _head(view, self.size.width), self._body(view, self.size.width)
        hidden = len(body) - (self.size.height - len(head))
        return replace(view, scroll=min(max(view.scroll + step, 0), max(hidden, 0)))

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette = view.palette
        if view.asked is None:
            questions = (
                one_more_words.BEGINS,
                farther_words.BEGINS,
                leaving_words.BEGINS,
                typed_passing.EXAMPLE,
                period_words.EXAMPLE,
            )
            asks = f"i asks: {'; '.join((EXAMPLES, *questions))}"
            examples = [line for text in (asks, ARRANGE) for line in wrap(text, width - 4)]
            return [strip([(f"  {line}", palette.text)], width, palette.text) for line in examples]
        head, body = _head(view, width), self._body(view, width)
        room = max(height - len(head), 1)
        below = room - len(body) - 1
        if view.answer is not None and view.answer.leads and below >= PLAN_ROWS:
            rows = [strip(row, width, palette.text) for row in (*body, [])]
            return [*head, *rows, *plan_strips(view, width, below, foot=False)]
        first = min(view.scroll, max(len(body) - room, 0))
        shown = body[first : first + room]
        hidden = len(body) - first - room
        if hidden > 0:
            shown[-1] = [(f"  ↓ {counted(hidden + 1, 'more row')}", palette.label)]
        return [*head, *(strip(row, width, palette.text) for row in shown)]

    def _body(self, view: View, width: int) -> list[list[Piece]]:
        """Return all rows below the verdict."""
        answer, text = view.answer, view.palette.text
        if answer is None:
            return [[("  Calculating …", text)]]
        if answer.rows:
            return _rows(view, answer, width)
        if answer.why_not or answer.result is None:
            return [[("  " + line, text)] for line in wrap(f"No answer: {answer.why_not}", width - 4)]
        result = answer.result
        return [*_holding(view, result, width), *line_rows(view, result, width), *_ahead(view, result, width)]


def _rows(view: View, answer: Answer, width: int) -> list[list[Piece]]:
    """Return an answer that is rows of words, the first as bad as it is."""
    styles = [value_style(view.palette, answer.stage)]
    rows: list[list[Piece]] = []
    for row in answer.rows:
        style = styles.pop() if styles else view.palette.text
        rows += [[(f"  {line}", style)] for line in _wrapped(row, width - 4)]
    return rows


def _wrapped(row: str, width: int) -> list[str]:
    """Return a row over as many as it takes; those that go on stand in by two cells more. The first keeps its
    columns."""
    if cell_len(row) <= width:
        return [row]
    into = " " * (len(row) - len(row.lstrip()))
    cut = row.rfind(" ", len(into) + 1, width - 1)
    if cut > 0 and cell_len(row[:cut]) <= width:
        first, rest = row[:cut].rstrip(), wrap(row[cut:], width - len(into) - 2)
    else:
        first, *rest = wrap(row, width - len(into) - 2)
        first = into + first
    return [first, *(f"{into}  {line}" for line in rest)]


def _head(view: View, width: int) -> list[Strip]:
    """Return what is asked, for which instant, and the verdict."""
    result = view.answer.result if view.answer else None
    verdict = [] if result is None else _verdict(view, result, width)
    return [_heading(view, result, width), *(strip(row, width, view.palette.text) for row in verdict)]


def _heading(view: View, result: WhatIf | None, width: int) -> Strip:
    palette = view.palette
    asked = view.asked.words if view.asked else ""
    words: list[Piece] = [(" What if: ", palette.label), (asked, palette.strong)]
    at: list[Piece] = []
    if result is not None:
        moment = clock(result.time, view.stay.display, "%H:%M:%S")
        at = [(f"for {moment}, calculation only ", palette.label)]
    return both_ends(words, at, width, palette.text)


STAGES: Final = {
    Word.NOTHING_HOLDS: Stage.ALARM,
    Word.PARTS: Stage.ALARM,
    Word.DO_NOT: Stage.ALARM,
    Word.WORSE: Stage.WARNING,
    Word.NOT_ENOUGH: Stage.WARNING,
    Word.EASES: Stage.CAUTION,
    Word.EARLIER: Stage.CAUTION,
    Word.NOT_KNOWN: Stage.CAUTION,
    Word.NO_CHANGE: Stage.NORMAL,
    Word.BETTER: Stage.NORMAL,
}
"""The colour of a verdict."""


def _verdict(view: View, result: WhatIf, width: int) -> list[list[Piece]]:
    stage = STAGES[result.verdict.word]
    refusal = _standing_refusal(view) if stage <= Stage.WARNING else ""
    words = [(verdict_sentence(result), stage), (refusal, Stage.WARNING)]
    return [
        [(f"  {line}", value_style(view.palette, of))]
        for text, of in words
        if text
        for line in wrap(safe(text), width - 3)
    ]


def _standing_refusal(view: View) -> str:
    """Return the advice that says not to slack while it stands: what a change eases is no leave to do it."""
    advice = view.watch.advice
    return f"The advice of now stands: {advice.short}" if advice.large == "DO NOT SLACK" else ""


def _holding(view: View, result: WhatIf, width: int) -> list[list[Piece]]:
    """Return what holds her now, as things stand and with the change; long names of lines over several
    rows, so that none is left out."""
    cell = min(CELL, (width - LABEL - MARK) // 2)
    head = fill_to("  now", LABEL) + fill_to("as things stand", cell) + "with this change"
    held = [each for row in rows_of(result) for each in _held(view, row, cell)]
    return [[(head, view.palette.label)], *held]


def _held(view: View, row: Row, cell: int) -> list[list[Piece]]:
    palette = view.palette
    style = value_style(palette, Stage.WARNING) if row.effect is Effect.LOST else palette.text
    words = [[f"  {row.label}"], wrap(row.before, cell - 1), wrap(row.after, cell - 1), [row.mark]]
    return [
        [
            (fill_to(label, LABEL), palette.label),
            (fill_to(before, cell), palette.text),
            (fill_to(after, cell), style),
            (mark, style),
        ]
        for label, before, after, mark in zip_longest(*words, fillvalue="")
    ]


def _ahead(view: View, result: WhatIf, width: int) -> list[list[Piece]]:
    """Return the ship as a whole and the rounds in the hours ahead; why there are none where they are not
    known."""
    before, after = result.as_it_stands, result.changed
    if before is None or after is None:
        return [[("  The hours ahead are not looked at", view.palette.label)]]
    if after.reason or before.reason:
        return [[(f"  No look ahead: {after.reason or before.reason}", view.palette.text)]]
    return [*_ship(view, before, after, width), [], *_rounds(view, before, after, width)]


def _ship(view: View, before: Forecast, after: Forecast, width: int) -> list[list[Piece]]:
    """Return the ship as a whole: first times of the worst stage expected, as planned and with the
    changes."""
    palette = view.palette
    rows: list[list[Piece]] = []
    for change in ship_changes(before.limits, after.limits):
        what = condition(change.cause, change.subject, None)
        stage = change.after.stage if change.after is not None else Stage.NORMAL
        words = f"{what}: {_reached(view, change.before)} → {_reached(view, change.after)}"
        rows += [[(f"  {line}", value_style(palette, stage))] for line in wrap(words, width - 3)]
    return rows or [[("  The ship: no warning expected, with or without this change", palette.label)]]


def _reached(view: View, limit: LimitAhead | None) -> str:
    if limit is None:
        return "none"
    return f"{MARKS[limit.stage]} {AheadWords(view.stay.display, view.figures.time).reached(limit)}"


def _rounds(view: View, before: Forecast, after: Forecast, width: int) -> list[list[Piece]]:
    """Return the rounds as planned and with the changes, side by side where there is room."""
    palette, display, now = view.palette, view.stay.display, view.figures.time
    half = width // 2 - 2 if width >= SIDE_BY_SIDE else width - 2
    left, right = (
        [line for text in plan_words(forecast, display, now) for line in wrap(safe(text), half - 2)]
        for forecast in (before, after)
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
