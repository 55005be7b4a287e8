"""The plain questions of `alongside new`, one after the other, on any terminal or from a pipe."""

import sys
from io import TextIOWrapper
from pathlib import Path
from typing import Final

from alongside.cli.standard_output import print_rows, print_wrapped
from alongside.errors import WrongInput
from alongside.reports.new_stay.doubted import given_by, question_words
from alongside.reports.new_stay.drawing import plain_drawing
from alongside.reports.new_stay.entry import At, Entry, back, count, forward, standing
from alongside.reports.new_stay.kept import answers_file, keep
from alongside.reports.new_stay.taken import taken
from alongside.reports.new_stay.trials import doubts, final_faults, matters, open_remarks
from alongside.reports.new_stay.values import Refused
from alongside.reports.new_stay.words import enter_words, prompt_words
from alongside.reports.new_stay.written import files_to_write, write_files, written_rows
from alongside.wording.figures import counted
from alongside.wording.safe import safe

COMMANDS: Final = "<  back    >  forward    ?  how much it matters    =  drawing    .  stop, answers are kept"
STOPPED: Final = "."
YES: Final = "y"
"""Writes the files where something can hardly be meant."""


class PlainQuestions:
    """Puts the questions of one entry. `quick`: nobody reads along, so no words on how much a value
    matters."""

    def __init__(self, stay: Path, entry: Entry, quick: bool) -> None:
        self.stay, self.entry, self.quick = stay, entry, quick
        self.asked: str | None = None
        self.doubted: tuple[At, ...] = ()

    def run(self) -> int:
        """Ask until all is answered and written, or it is stopped; returns the exit status."""
        if isinstance(sys.stdin, TextIOWrapper):
            sys.stdin.reconfigure(errors="replace")  # bytes that are no text are refused as an answer
        given = count(self.entry)
        print_wrapped(COMMANDS)
        if given:
            print_wrapped(
                f"Goes on where it was left: {counted(given, 'answer')} in {answers_file(self.stay)}"
            )
        while True:
            here = standing(self.entry)
            if here.at is None:
                if (done := self._finish()) is not None:
                    return done
                continue
            self._put(here.at)
            text = self._typed(f"{prompt_words(here)}> ")
            if text is None or text == STOPPED:
                return self._stopped(text is None)
            self._take(here.at, text)

    def _put(self, at: At) -> None:
        """Print a question, the first time it stands with all that helps."""
        here = standing(self.entry)
        question = here.question
        if here.refusal:
            print_wrapped("", f"No longer fits: {here.refusal}")
        if self.asked != at.key:
            self.asked = at.key
            print_wrapped("", f"[{question.section}] {question.asks}", f"   type: {question.typed_as()}")
            print_wrapped(f"   such as: {question.example}")
            if question.where:
                print_wrapped(f"   find it: {question.where}")
            choices = question.choices(here.sheet)
            if choices:
                print_wrapped(f"   one of: {', '.join(map(safe, choices))}")
            if not self.quick and (words := matters(self.entry, self.stay)):
                print_wrapped(f"   matters: {words}")
        if words := enter_words(here):
            print_wrapped(f"   Enter {words}")

    def _typed(self, prompt: str) -> str | None:
        """Return what is typed; None where there is no more."""
        try:
            return input(safe(prompt)).strip()
        except EOFError:
            return None

    def _take(self, at: At, text: str) -> None:
        if text in ("<", ">"):
            self.entry = back(self.entry) if text == "<" else forward(self.entry)
            self.asked = None
            keep(self.entry, self.stay)
        elif text == "?":
            print_wrapped(f"   matters: {matters(self.entry, self.stay) or 'no line depends on it'}")
        elif text == "=":
            print_rows(*plain_drawing(self.entry, self.stay))
        else:
            self._answer(at, text)

    def _answer(self, at: At, text: str) -> None:
        """Take the answer of a prompt, or say why it is none."""
        before = self.entry
        try:
            self.entry = taken(before, text, self.stay, self.doubted)
        except Refused as refusal:
            print_wrapped(f"   Not taken: {refusal}")
            return
        odd = () if self.quick else doubts(before, self.entry, self.stay)
        self.doubted = given_by(before, self.entry) if odd else ()
        for doubt in odd:
            print_wrapped(f"   {question_words(doubt, at.question, '<')}")

    def _finish(self) -> int | None:
        """Write the files once that is confirmed; None where it goes on."""
        sheet = standing(self.entry).sheet
        if faults := list(final_faults(sheet, self.stay)):
            print_wrapped("", "Not written, the file would have faults:", *(f"   {each}" for each in faults))
        else:
            files = files_to_write(self.entry, self.stay)
            print_rows("", *plain_drawing(self.entry, self.stay))
            print_wrapped(
                f"All is answered: {counted(count(self.entry), 'answer')}. Files: {', '.join(files.texts)}"
            )
        odd = () if faults else open_remarks(sheet, self.stay)
        if odd:
            print_wrapped("", "Is it so?", *(f"   {each}" for each in odd))
        key = f"{YES} and Enter" if odd else "Enter"
        text = self._typed("Go back with <> " if faults else f"{key} writes them, < goes back> ")
        if text is None or text == STOPPED:
            return self._stopped(text is None)
        if text.lower() == (YES if odd else "") and not faults:
            write_files(files, self.stay.parent)
            print_rows(*written_rows(self.stay))
            return 0
        if text == "<":
            self.entry = back(self.entry)
            self.asked = None
            keep(self.entry, self.stay)
        else:
            expected = "<" if faults else f"{key} or <"
            print_wrapped(f"   Not taken: {safe(text)!r}, expected {expected}")
        return None

    def _stopped(self, at_end: bool) -> int:
        keep(self.entry, self.stay)
        print_wrapped(
            "",
            f"Stopped, nothing written; {counted(count(self.entry), 'answer')} in {answers_file(self.stay)}",
        )
        print_wrapped(f"Go on with: alongside new {self.stay}")
        if at_end:
            here = standing(self.entry)
            where = "the files are not confirmed" if here.at is None else f"at {prompt_words(here)}"
            raise WrongInput(f"{self.stay}: answers end {where}, expected more")
        return 0
