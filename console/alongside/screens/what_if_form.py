"""The form that asks what if."""

from alongside.forecast import leaving_words
from alongside.forecast.other_lines import one_more_words
from alongside.forecast.what_if.typed import EXAMPLES
from alongside.screens.form import Form
from alongside.screens.question import Question, question
from alongside.screens.view import View


class WhatIfForm(Form):
    fields = (("what", "What if", 0),)
    asks_first = False

    def hint(self, view: View) -> str:
        return f"{EXAMPLES}; {one_more_words.BEGINS}; {leaving_words.BEGINS}"

    def read(self, view: View, values: dict[str, str]) -> tuple[Question, str]:
        return question(values["what"], view.stay), "calculating"
