"""The question before the watch is ended."""

from textual.events import Key
from textual.widgets import Static

from console.screens.messages import FormLeft, QuitConfirmed
from console.screens.view import View

_QUESTION = " End the watch? The lines are then watched by nobody.\n y ends it, any other key goes on"


class QuitForm(Static, can_focus=True):
    def __init__(self, name: str) -> None:
        super().__init__(_QUESTION, id=name, markup=False, classes="form")

    def open(self, view: View, by: str) -> None:
        """Ask, and take the keyboard."""
        self.focus()

    def on_key(self, event: Key) -> None:
        event.stop()
        event.prevent_default()
        self.post_message(QuitConfirmed() if event.key in ("y", "Y") else FormLeft())
