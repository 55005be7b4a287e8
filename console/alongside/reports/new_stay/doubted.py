"""A row that was asked about, `Is it so?`, and is typed anew: it takes the place of the doubted one."""

from dataclasses import replace

from alongside.reports.new_stay.entry import At, Entry, read_answer, standing
from alongside.reports.new_stay.question import Question
from alongside.reports.new_stay.values import Refused, Row, number_of, word_of


def given_by(before: Entry, after: Entry) -> tuple[At, ...]:
    """Return the prompts that the last answer filled."""
    at = standing(before).at
    if at is None:
        return ()
    old = before.answers.get(at.key, ())
    return tuple(At(at.key, n) for n, text in enumerate(after.answers.get(at.key, ())) if text not in old)


def in_place_of(entry: Entry, doubted: tuple[At, ...], text: str) -> Entry:
    """Return the entry gone back to the doubted row that an answer begins like; as it is where there is
    none."""
    here = standing(entry)
    if here.at is None or here.typed or not here.at.question.rows or not text.strip():
        return entry
    for at in doubted:
        there = standing(replace(entry, at=at))
        if at.key != here.at.key or there.at != at or not there.typed:
            continue
        try:
            old = read_answer(at.question, there.typed, there.sheet, there.before)
            new = read_answer(at.question, text, there.sheet, there.before)
        except Refused:
            continue
        if _begins(at.question, old[0]) == _begins(at.question, new[0]):
            return replace(entry, at=at)
    return entry


def _begins(question: Question, row: Row) -> str:
    """Return what a row is known by: its name, its time, or its place."""
    if "waters" in row:
        return str(row["waters"]).split()[0]
    first = question.figures[0].name
    return word_of(row, first) if isinstance(row.get(first), str) else f"{number_of(row, first):.7g}"


def question_words(doubt: str, question: Question, goes_back: str) -> str:
    """Return the row that asks about an answer; `goes_back` is the key that does."""
    anew = ", a row that begins alike takes its place" if question.rows else ""
    return f"Is it so? {doubt}  ({goes_back} goes back{anew})"
