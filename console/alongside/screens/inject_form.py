"""The form by which an instructor puts trouble into an exercise that is lived through."""

from alongside.actions.controls import Inject
from alongside.errors import WrongInput
from alongside.screens.form import Form
from alongside.screens.refusal import Refused
from alongside.screens.view import View
from alongside.wording.typed_injection import EXPECTED, moment_words, typed_injection, typed_moment


class InjectForm(Form):
    fields = (("what", "Inject", 0), ("when", "at", 9))
    follows = True

    def start_values(self, view: View) -> dict[str, str]:
        return {"when": "now"}

    def hint(self, view: View) -> str:
        return f"{EXPECTED}    at: now, +10 (minutes) or 15:20"

    def read(self, view: View, values: dict[str, str]) -> tuple[Inject, str]:
        if not values["what"].strip():
            raise Refused("nothing is typed; expected such as gust 35 from 210 for 10 min")
        try:
            plain, words = typed_injection(values["what"], view.stay)
            at = typed_moment(values["when"], view.watch.time, view.stay)
        except WrongInput as wrong:
            raise Refused(str(wrong)) from wrong
        return Inject(tuple(plain.items()), at), f"{words}, {moment_words(at, view.stay)}"

    def means_as_asked(self, entered: object, words: str, asked: tuple[object, str]) -> bool:
        """A time that is so many minutes on moves while it is asked: the first is meant."""
        return True
