"""The form of the self-test: what only a human can say."""

from typing import Final

from alongside.actions import SelfTest
from alongside.reports.self_test import findings
from alongside.screens.form import MOST_INITIALS, Form
from alongside.screens.refusal import Refused
from alongside.screens.view import View
from alongside.wording.actions import self_test_words
from alongside.wording.safe import safe

_YES: Final = ("y", "yes")
_NO: Final = ("n", "no")


class SelfTestForm(Form):
    fields = (("bell", "Bell heard? y/n", 4), ("colours", "all colours seen? y/n", 4), ("by", "initials", 9))
    asks_first = False
    follows = True

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self._tried_before = 0

    def open(self, view: View, by: str) -> None:
        """Wait for an answer of the record that is newer than this."""
        tried = view.watch.record_tried
        self._tried_before = 0 if tried is None else tried.number
        super().open(view, by)

    def hint(self, view: View) -> str:
        return "The bell was rung once; Enter records what you heard and saw, Esc leaves"

    def read(self, view: View, values: dict[str, str]) -> tuple[SelfTest, str]:
        bell = _answer(values["bell"], "was the bell heard")
        colours = _answer(values["colours"], "is each colour and mark different")
        by = safe(values["by"]).strip()[:MOST_INITIALS]
        if not by:
            raise Refused("no initials; expected those of who makes the self-test")
        tried = view.watch.record_tried
        if not view.watch.replay and (tried is None or tried.number <= self._tried_before):
            raise Refused("the record has not answered yet: Enter again in a moment")
        test = SelfTest(bell, colours, findings(view.watch, view.palette.name), by)
        return test, f"self-test: {self_test_words(test)}"


def _answer(text: str, question: str) -> bool:
    word = text.strip().lower()
    if word not in (*_YES, *_NO):
        raise Refused(f"expected y or n: {question}?")
    return word in _YES
