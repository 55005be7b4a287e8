"""The form that takes a replay to another time."""

from alongside.actions.controls import Seek
from alongside.screens import seek_words
from alongside.screens.form import Form
from alongside.screens.view import View


class SeekForm(Form):
    fields = (("time", "Go to", 24),)
    asks_first = False

    def hint(self, view: View) -> str:
        return seek_words.HINT

    def read(self, view: View, values: dict[str, str]) -> tuple[Seek, str]:
        return seek_words.seek(values["time"], view.watch)
