"""The question before the watch is ended."""

from textual.events import Key
from textual.widgets import Static

from alongside.screens.outcomes import FormLeft, Outcome, QuitConfirmed
from alongside.screens.view import View

_ENDS_WATCH = "End the watch? Nobody watches the lines then."
_ENDS_REPLAY = "End the replay?"
_ENDS_LOOKING = "Close this console? It only looks: the watch goes on at the other."


class QuitForm(Static, can_focus=True):
    def __init__(self, name: str) -> None:
        super().__init__(id=name, markup=False, classes="form")

    def open(self, view: View, by: str) -> None:
        """Ask, and take the keyboard."""
        question = _ENDS_REPLAY if view.watch.replay else _ENDS_WATCH
        question = _ENDS_LOOKING if view.watch.look_only else question
        self.update(f" {question}\n y ends, any other key goes on")
        self.screen.set_focus(self, scroll_visible=False)

    def press(self, key: Key) -> Outcome:
        """Return that the watch is to be ended, or not."""
        return QuitConfirmed() if key.key in ("y", "Y") else FormLeft()

    def paste(self, text: str) -> None:
        """Ignored: ending is confirmed by a key."""
