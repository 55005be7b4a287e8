"""Where we are: the answers as typed, read in their order; back, forward, and the answer that is asked for.

Answers are kept as they were typed and read anew at each step, so that one that is changed counts for all
that rests on it: the first answer that no longer fits is asked for again, with the reason.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from alongside.reports.new_stay.answer_parts import parts_of
from alongside.reports.new_stay.question import MOST_TYPED, Default, Question, Typed
from alongside.reports.new_stay.questions import BY_KEY, QUESTIONS
from alongside.reports.new_stay.sheet import Sheet, Shelf
from alongside.reports.new_stay.stand_ins import stand_in
from alongside.reports.new_stay.values import BY_EYE, NONE, Refused, Row
from alongside.wording.safe import safe

Answers = Mapping[str, tuple[str, ...]]
"""Texts of each question by its key, in order; of one with rows, Enter alone ("") ends them."""
TAKE_OUT: Final = NONE
"""Typed alone in place of a row that is not to be."""
MOST_ROWS: Final = 200


@dataclass(frozen=True, slots=True)
class At:
    """One prompt: a question by its key, and which of its answers."""

    key: str
    number: int = 0

    @property
    def question(self) -> Question:
        return BY_KEY[self.key]


@dataclass(frozen=True, slots=True)
class Entry:
    """The answers so far, `at` the prompt that was gone back to, None for the first open one. `now` is when
    the entry was begun, UNIX s."""

    shelf: Shelf
    now: float
    answers: Answers
    at: At | None = None


@dataclass(frozen=True, slots=True)
class Standing:
    """Where an entry stands. `prompts` are those answered, in order, and the open one last; `at` is the one
    that stands, None when all is answered; `refusal` says why its answer no longer fits. `sheet` is what is
    known before it, `typed` its answer so far."""

    prompts: tuple[At, ...]
    at: At | None
    sheet: Sheet
    before: tuple[Row, ...] = ()
    typed: str | None = None
    refusal: str = ""

    @property
    def default(self) -> Default | None:
        """Return what Enter alone gives; None where it gives nothing."""
        if self.at is None or self.typed is not None:
            return None
        question = self.at.question
        if question.rows and self.before and len(self.before) >= question.least:
            return None
        return question.default(self.sheet)

    @property
    def question(self) -> Question:
        """Return the question that stands, in the words that fit what was answered."""
        assert self.at is not None
        return self.at.question.in_words_for(self.sheet)

    @property
    def may_end(self) -> bool:
        """Return whether Enter alone ends the rows."""
        return self.at is not None and self.at.question.rows and len(self.before) >= self.at.question.least


def standing(entry: Entry) -> Standing:
    """Return where an entry stands."""
    prompts: list[At] = []
    sheet = Sheet(entry.shelf, entry.now)
    chosen: Standing | None = None
    for question in QUESTIONS:
        if not question.asked(sheet):
            continue
        texts = entry.answers.get(question.key, ())
        rows: list[Row] = []
        for number in range(MOST_ROWS + 1):
            at = At(question.key, number)
            if number and not question.rows:
                break
            prompts.append(at)
            typed = texts[number] if number < len(texts) else None
            here = Standing((), at, sheet, tuple(rows), typed)
            if at == entry.at and chosen is None:
                chosen = here
            if typed is None:
                return _shown(chosen or here, prompts)
            try:
                more = read_answer(question, typed, sheet, tuple(rows))
            except Refused as refusal:
                return _shown(chosen or replace(here, refusal=str(refusal)), prompts)
            rows += more
            if question.rows and (not typed.strip() or ends_rows(question, more)):
                break
        sheet = sheet.having(question.key, rows, len(rows))
    return _shown(chosen or Standing((), None, sheet), prompts)


def _shown(here: Standing, prompts: list[At]) -> Standing:
    return replace(here, prompts=tuple(prompts))


def ends_rows(question: Question, rows: tuple[Row, ...]) -> bool:
    """Return whether an answer ends the rows by itself: `none`."""
    return question.key == "tide" and any(row.get("waters") == "none" for row in rows)


def read_answer(question: Question, text: str, sheet: Sheet, before: tuple[Row, ...]) -> tuple[Row, ...]:
    """Return the rows that an answer gives. Raise Refused where it is none, in words that begin with the
    question's title."""
    try:
        return _read(question, text.strip(), sheet, before)
    except Refused as refusal:
        raise Refused(f"{question.title}: {refusal}") from None


def _read(question: Question, text: str, sheet: Sheet, before: tuple[Row, ...]) -> tuple[Row, ...]:
    source = BY_EYE
    if len(text) > MOST_TYPED:
        raise Refused(f"{len(text)} letters, expected at most {MOST_TYPED}")
    if not text:
        if question.rows and before and len(before) >= question.least:
            return ()
        default = question.default(sheet)
        if default is not None:
            text, source = default.text, default.source
        elif question.rows and not question.least:
            return ()
        else:
            raise Refused(f"nothing given, expected {question.typed_as()}")
    if not text.isprintable():
        raise Refused(f"{safe(text)!r} has letters that cannot be shown, expected {question.typed_as()}")
    rows: list[Row] = []
    for where, part in parts_of(question, text, sheet):
        try:
            rows.append(question.reader(question, Typed(part, sheet, (*before, *rows), source)))
        except Refused as refusal:
            raise Refused(f"{where}{refusal}") from None
    return tuple(rows)


# --- moves


def answered(entry: Entry, text: str) -> Entry:
    """Return the entry with the prompt that stands answered, at the next one. Raise Refused."""
    here = standing(entry)
    if here.at is None:
        return entry
    question, number = here.at.question, here.at.number
    texts = entry.answers.get(question.key, ())
    if here.typed is not None and not text.strip() and not here.refusal:
        return forward(entry)  # Enter alone keeps what stands
    if takes_out(here, text):
        return replace(
            entry, answers={**entry.answers, question.key: (*texts[:number], *texts[number + 1 :])}
        )
    if here.refusal and question.rows and not text.strip():
        raise Refused(f"{here.refusal}; or {TAKE_OUT} takes the row out")
    rows = read_answer(question, text, here.sheet, here.before)
    parts = _typed_parts(question, text.strip(), here.sheet)
    after: tuple[str, ...] = ()
    if question.rows and text.strip() and not ends_rows(question, rows):
        # What stood at the end of the rows stays there when a row is put in its place.
        after = texts[number:] if number < len(texts) and not texts[number].strip() else texts[number + 1 :]
    new = replace(entry, answers={**entry.answers, question.key: (*texts[:number], *parts, *after)})
    last = At(question.key, number + len(parts) - 1)
    return forward(replace(new, at=last)) if entry.at is not None else new


def takes_out(here: Standing, text: str) -> bool:
    """Return whether an answer takes out the row that stands."""
    return text.strip() == TAKE_OUT and bool(here.typed) and here.at is not None and here.at.question.rows


def _typed_parts(question: Question, text: str, sheet: Sheet) -> tuple[str, ...]:
    """Return an answer as it is kept: each row of it is one of its own, that one can go back to."""
    if not question.rows or not text:
        return (text,)
    return tuple(part for _where, part in parts_of(question, text, sheet))


def back(entry: Entry) -> Entry:
    """Return the entry at the prompt before; as it is at the first."""
    here = standing(entry)
    place = here.prompts.index(here.at) if here.at is not None else len(here.prompts)
    return replace(entry, at=here.prompts[max(place - 1, 0)])


def forward(entry: Entry) -> Entry:
    """Return the entry at the next prompt, at most at the open one."""
    here = standing(entry)
    if here.at is None or here.at == here.prompts[-1]:
        return replace(entry, at=None)
    later = here.prompts[here.prompts.index(here.at) + 1]
    is_last = later == here.prompts[-1] and later not in _given(entry)
    return replace(entry, at=None if is_last else later)


def _given(entry: Entry) -> frozenset[At]:
    return frozenset(At(key, at) for key, texts in entry.answers.items() for at in range(len(texts)))


def count(entry: Entry) -> int:
    """Return how many answers were given."""
    return sum(map(len, entry.answers.values()))


# --- the sheet with stand-ins


def draft(entry: Entry, trial: At | None = None, text: str = "") -> Sheet:
    """Return a whole sheet: answers where there are any, else what stands in; `text` is tried at the prompt
    `trial`. Raise Refused where it is none."""
    sheet = Sheet(entry.shelf, entry.now)
    for question in QUESTIONS:
        if not question.asked(sheet):
            continue
        texts = entry.answers.get(question.key, ())
        if trial is not None and trial.key == question.key:
            texts = (*texts[: trial.number], text, *(each for each in texts[trial.number + 1 :] if each))
        rows = _rows_of(question, texts, sheet, () if trial is None or trial.key != question.key else texts)
        number = len(rows)
        is_ended = bool(texts) and not texts[-1].strip()
        if not rows or (question.key == "lines" and not is_ended):
            rows = (*rows, *_standing_in(question, sheet, rows))
        sheet = sheet.having(question.key, rows, number)
    return sheet


def _rows_of(
    question: Question, texts: tuple[str, ...], sheet: Sheet, tried: tuple[str, ...]
) -> tuple[Row, ...]:
    """Return the rows of all answers that can be read; Refused is raised for what is tried only."""
    rows: tuple[Row, ...] = ()
    for each in texts:
        if each.strip() or not rows:
            try:
                rows += read_answer(question, each, sheet, rows)
            except Refused:
                if tried and each.strip():
                    raise
    return rows


def _standing_in(question: Question, sheet: Sheet, given: tuple[Row, ...]) -> tuple[Row, ...]:
    texts = stand_in(question.key, sheet.having(question.key, given, len(given)))
    if texts is None:
        default = question.default(sheet)
        texts = () if default is None else (default.text,)
    rows: tuple[Row, ...] = ()
    used = {row.get("fairlead") for row in given}
    for text in texts:
        try:
            more = read_answer(question, text, sheet, rows)
        except Refused:
            continue
        rows += tuple(row for row in more if question.key != "lines" or row.get("fairlead") not in used)
    return rows
