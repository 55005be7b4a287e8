"""What stands beside the drawing in the form of `alongside new`: the question and all that helps to answer
it."""

from collections.abc import Iterator
from typing import Final

from rich.text import Text

from alongside.reports.new_stay.entry import Standing
from alongside.reports.new_stay.texts import Files
from alongside.reports.new_stay.words import enter_words
from alongside.screens.palettes import Palette
from alongside.wording.figures import counted
from alongside.wording.safe import safe

WORKING: Final = "being worked out …"
SECTION_WORDS: Final = {
    "stay": "the stay",
    "ship": "the ship",
    "berth": "the berth",
    "ropes": "ropes",
    "lines": "lines",
    "plans": "what is planned",
}


def question_text(here: Standing, matter: str | None, answers: int, palette: Palette) -> Text:
    """Return the question with what is typed, where to find it and how it matters; `matter` is None while
    that is being worked out."""
    if here.at is None:
        return Text()
    question = here.question
    text = Text(f"{SECTION_WORDS[question.section]}: {question.title}", palette.strong)
    text.append(f"   {counted(answers, 'answer')} so far\n\n", palette.label)
    text.append(f"{question.asks}\n\n", palette.strong)
    for label, words in _help(here, matter):
        if words:
            text.append(f"{label} ", palette.label)
            text.append(f"{words}\n", palette.text)
    return text


def _help(here: Standing, matter: str | None) -> Iterator[tuple[str, str]]:
    assert here.at is not None
    question = here.question
    yield "type:", question.typed_as()
    yield "such as:", question.example
    yield "one of:", ", ".join(map(safe, question.choices(here.sheet)))
    yield "Enter", enter_words(here)
    yield "matters:", WORKING if matter is None else matter or "no line depends on it"
    yield "find it:", question.where


def files_text(
    files: Files | None, faults: list[str], odd: tuple[str, ...], answers: int, palette: Palette
) -> Text:
    """Return what stands when all is answered: what can hardly be meant, and the files to be written; or the
    faults that keep them back."""
    text = Text(f"All is answered: {counted(answers, 'answer')}\n\n", palette.strong)
    if faults or files is None:
        text.append("Not written, the file would have faults:\n", palette.strong)
        text.append("\n".join(faults), palette.text)
        return text
    if odd:
        text.append("Is it so?\n", palette.strong)
        text.append("".join(f"  {each}\n" for each in odd), palette.text)
        text.append("\n")
    text.append(f"{'y and ' if odd else ''}Enter writes these files:\n", palette.text)
    text.append("".join(f"  {safe(name)}\n" for name in files.texts), palette.strong)
    text.append("\n↑ goes back. After it: alongside check, alongside watch.", palette.label)
    return text
