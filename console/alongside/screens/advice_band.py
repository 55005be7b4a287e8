"""The advice: what must be done, large enough to be read from across the control room."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from rich.cells import cell_len
from rich.style import Style
from textual.strip import Strip

from alongside.alerts.state_text import counts, needs_answer
from alongside.cycle.calm_word import calm_word
from alongside.cycle.picture import Advice, Picture
from alongside.screens.board import Board
from alongside.screens.large_words import large_words
from alongside.screens.letters import DOTS, can_be_large, large
from alongside.screens.parts import is_now
from alongside.screens.rows import Piece, both_ends, fit, length, strip, wrap
from alongside.screens.stage_styles import is_seen, stage_style
from alongside.screens.view import SMALL_BELOW, View, is_dense
from alongside.stay.stage import Stage
from alongside.wording.marks import MARKS, NOT_KNOWN, stage_text
from alongside.wording.safe import safe

PLAIN_ROWS = 2
"""Rows of the sentence on a small screen on all pages but Now."""
GUTTER = 2
"""Cells of the coloured edge."""
FILL_WORDS: Final = frozenset({"THE", "LINE", "LINES", "BY", "EYE", "NOW"})
"""Words of a deed that its headline does without."""
BIG_FROM = (140, 44)
"""Columns and rows of the screen from which letters are drawn at double size."""


def without_digits(text: str) -> str:
    """Return what a text says, its figures left out: advice that differs only in them is the same advice."""
    return re.sub(r"[\d.,]+", "#", text)


COUNT_GAP = 3
"""Columns between the sentence and how many wait: with less the count reads as its end."""


class AdviceBand(Board):
    """Large headline, and the whole sentence with its stage below; in full colour for an alarm only."""

    def rows_wanted(self, view: View, width: int, height: int) -> int:
        if is_dense(view, height):
            return 1
        if not is_now(view.part) and height < SMALL_BELOW:
            return len(_plain_rows(view, width, PLAIN_ROWS))
        return DOTS + 2 if width >= BIG_FROM[0] and height >= BIG_FROM[1] else 4

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        if height < 4:
            return _plain_rows(view, width, min(height, PLAIN_ROWS))
        big = _large_rows(view.watch.advice, width, double=height > DOTS)
        waits = (counts(view.watch.alerts), count_in_short(view.watch))
        if big is not None:
            forms = _forms(view.watch.advice)
            beside = _fits_beside(view, width, height)
            said = _drawn(view.watch.advice, width, big, double=height > DOTS)
            unsaid = [_unsaid(form, said) for form in forms]
            shorter = (unsaid, _first_clauses(unsaid), _reasons(forms), _first_clauses(_reasons(forms)))
            for each in (forms, *(() if beside else shorter)):
                below, waiting = _in_one_row(view, width, each, waits)
                if below:
                    return _banded(view, big, below, waiting, width, height)
        return _spelled_out(view, width, height)


def _large_rows(advice: Advice, width: int, *, double: bool) -> list[str] | None:
    """Return the headline in the largest letters that fit, with the metres of the deed where they fit too;
    None where there is none."""
    return large_words(_headlines(advice), width - GUTTER - 3, double=double)


def _headlines(advice: Advice) -> tuple[str, str]:
    """Return the headline with the metres of the deed, and alone."""
    return safe(f"{advice.large}  {advice.by}").strip(), safe(advice.large)


def _drawn(advice: Advice, width: int, rows: list[str], *, double: bool) -> str:
    """Return what stands large in some rows: the headline with its metres, or alone."""
    whole, alone = _headlines(advice)
    return whole if large_words((whole,), width - GUTTER - 3, double=double) == rows else alone


def _in_one_row(view: View, width: int, forms: Sequence[str], waits: Sequence[str]) -> tuple[str, str]:
    """Return the longest form of the sentence that fits in the row under the headline, beside the longest of
    some words of how many wait; both "" where none does."""
    room = width - GUTTER - 2 - length([_chip(view)])
    for form in forms:
        for waiting in waits:
            if form and cell_len(form) + (len(waiting) + COUNT_GAP if waiting else 0) <= room:
                return form, waiting
    return "", ""


def _forms(advice: Advice) -> tuple[str, ...]:
    """Return the sentence for less and less room; that without a figure or word left out first."""
    text, short = safe(advice.text), safe(advice.short)
    return (text, _without_more(text), short, _without_more(short))


def _unsaid(form: str, headline: str) -> str:
    """Return a sentence without those of its deeds that the headline says: `check gauges: port not open` of
    `Read the tide board, check gauges: port not open` under READ TIDE BOARD. "" where it says none."""
    deeds, colon, reason = form.partition(": ")
    parts = re.split(r", (?=[a-z]{3,} )", deeds) if colon else []
    rest = [part for part in parts if not _words(part) <= _words(headline)]
    if len(rest) == len(parts):
        return ""
    return f"{', '.join(rest)}: {reason}" if rest else reason


def _words(text: str) -> frozenset[str]:
    """Return the words of a deed or headline that matter."""
    return frozenset(re.findall(r"[^\s,]+", text.upper())) - FILL_WORDS


def _reasons(forms: Sequence[str]) -> list[str]:
    """Return what stands in each form after its deeds."""
    return [form.partition(": ")[2] for form in forms]


def _first_clauses(forms: Sequence[str]) -> list[str]:
    """Return each form down to the end of the first clause of its reason."""
    parts = [form.rpartition(": ") if ": " in form else ("", "", form) for form in forms]
    return [f"{deeds}{colon}{re.split(r'[;,(]', reason)[0].strip()}" for deeds, colon, reason in parts]


def _without_more(text: str) -> str:
    """Return a sentence without how many more alerts there are: the list says that too."""
    return re.sub(r"; \d+ more alerts?$", "", text)


def _is_flashing(view: View) -> bool:
    worst = view.watch.advice.stage
    return view.lit and any(alert.flashes and alert.stage >= worst for alert in view.watch.alerts)


def _chip(view: View) -> Piece:
    """Return mark and word of the stage, reversed in turn while something of that stage is not answered."""
    stage = view.watch.advice.stage
    if calm := calm_word(view.watch):
        return f" {NOT_KNOWN if calm == 'unknown' else MARKS[stage]} {calm} ", view.palette.strong
    return f" {stage_text(stage)} ", _alarm_or(view, stage, _is_flashing(view))


def _alarm_or(view: View, stage: Stage, flash: bool = False) -> Style:
    """Return the style of a stage; an alarm that is acknowledged is dimmed."""
    return stage_style(view.palette, stage, flash=flash, seen=is_seen(view.watch.alerts))


def _gutter(view: View) -> Piece:
    palette, stage = view.palette, view.watch.advice.stage
    if stage == Stage.NORMAL:
        return "  ", palette.text
    seen = stage == Stage.ALARM and is_seen(view.watch.alerts)
    colour = palette.seen if seen else palette.stage(stage)
    return ("█ " if stage == Stage.CAUTION else "██"), palette.style(colour)


@dataclass(frozen=True, slots=True)
class _Ground:
    """Styles of the band: in full colour for an alarm, coloured letters on the background for all else."""

    fill: Style
    sentence: Style
    label: Style

    @classmethod
    def of(cls, view: View) -> "_Ground":
        palette, stage = view.palette, view.watch.advice.stage
        colour = palette.stage(stage)
        if stage == Stage.ALARM:
            full = _alarm_or(view, stage)
            return cls(full, full, full)
        letters = palette.style(colour, bold=stage == Stage.WARNING)
        return cls(letters, palette.style(palette.ink, bold=stage > Stage.NORMAL), palette.label)


def _banded(view: View, big: list[str], below: str, rest: str, width: int, height: int) -> list[Strip]:
    """Return the headline large, the sentence in the last row, and how many wait at its end."""
    basis = _Ground.of(view)
    edge = _gutter(view)
    block = [strip([edge, (f"  {row}", basis.fill)], width, basis.fill) for row in big]
    blank = strip([edge], width, basis.fill)
    spare = height - 1 - len(block)
    sentence: list[Piece] = [edge, _chip(view), (f" {below}", basis.sentence)]
    last = both_ends(sentence, [(f"{rest} ", basis.label)] if rest else [], width, basis.fill)
    return [*[blank] * (spare - spare // 2), *block, *[blank] * (spare // 2), last]


def _spelled_out(view: View, width: int, height: int) -> list[Strip]:
    """Return advice whose sentence is too long for one row: the headline, else the word of the stage, large,
    and the sentence beside it, down to the row of the stage."""
    basis, edge = _Ground.of(view), _gutter(view)
    word, lines = _word_beside(view, width - length([edge]) - 4, double=height > DOTS)
    if len(lines) > len(word) + 1:
        return _plain_rows(view, width, height)
    *beside, under = [""] * (len(word) + 1 - len(lines)) + lines
    if not any(beside):
        beside, under = [*beside[1:], under], ""
    rows = [
        strip([edge, (f" {row}  ", basis.fill), (line, basis.sentence)], width, basis.fill)
        for row, line in zip(word, beside, strict=True)
    ]
    at = length([edge]) + cell_len(word[0]) + 3
    last = [edge, _chip(view), (f" {_count_that_fits(view, at)}", basis.label)]
    last.append((" " * (at - length(last)), basis.fill))
    blank, spare = strip([edge], width, basis.fill), max(height - 1 - len(rows), 0)
    foot = strip([*last, (under, basis.sentence)], width, basis.fill)
    return [*[blank] * (spare // 2), *rows, *[blank] * (spare - spare // 2), foot]


def _count_that_fits(view: View, at: int) -> str:
    """Return how many alerts wait, in the words that end before a column."""
    room = at - length([_gutter(view), _chip(view)]) - 2
    forms = (counts(view.watch.alerts), count_in_short(view.watch))
    return next((form for form in forms if cell_len(form) <= room), "")


def _fits_beside(view: View, width: int, height: int) -> bool:
    """Return whether the whole sentence fits beside the large headline."""
    short, double = safe(view.watch.advice.large), height > DOTS
    word, lines = _word_beside(view, width - length([_gutter(view)]) - 4, double=double)
    return len(lines) <= len(word) + 1 and word in [large(short, double=size) for size in {double, False}]


def _word_beside(view: View, width: int, *, double: bool) -> tuple[list[str], list[str]]:
    """Return what stands large, and the sentence beside it, or its short form: what to do in short where both
    fit, at double size where that does too; else the stage."""
    advice = view.watch.advice
    stage_word = calm_word(view.watch) or advice.stage.word
    short = safe(advice.large)
    wanted = [(short, size) for size in (True, False) if size <= double] if can_be_large(short) else []
    texts = _forms(advice) if short else (safe(advice.text),)
    beside = [(words, size, text) for text in texts for words, size in (wanted if short else [])]
    for words, size, text in [*beside, (stage_word, False, texts[0])]:
        word = large(words, double=size)
        lines = wrap(text, max(width - len(word[0]), 1))
        if text and len(lines) <= len(word) + 1:
            break
    return word, lines


def _plain_rows(view: View, width: int, most: int) -> list[Strip]:
    """Return the sentence in common letters over as many rows as it takes, `most` at most: the longest form
    that fits, else cut; how many alerts wait stands at the end of the first row."""
    basis, chip, advice = _Ground.of(view), _chip(view), view.watch.advice
    waiting = count_in_short(view.watch)
    room = width - length([chip]) - 1 - (len(waiting) + 4 if waiting else 0)
    forms = [wrap(form, room) for form in _forms(advice) if form]
    lines = next((form for form in forms if len(form) <= most), None)
    if lines is None:
        whole = forms[0] if forms else [""]
        lines = [*whole[: most - 1], fit(" ".join(whole[most - 1 :]), room)]
    lines = lines or [""]
    starts = [chip] + [(" " * length([chip]), basis.fill)] * (len(lines) - 1)
    ends = [waiting] + [""] * (len(lines) - 1)
    return [
        both_ends(
            [start, (f" {line}", basis.sentence)],
            [(f"{end} ", basis.label)] if end else [],
            width,
            basis.fill,
        )
        for start, line, end in zip(starts, lines, ends, strict=True)
    ]


def count_in_short(picture: Picture) -> str:
    """Return `3 to ack`: how many alerts wait for an answer."""
    waiting = sum(needs_answer(alert) for alert in picture.alerts)
    return f"{waiting} to ack" if waiting else ""
