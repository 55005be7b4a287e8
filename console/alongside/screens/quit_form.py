"""The question before the watch is ended."""

from textual.events import Key
from textual.widgets import Static

from alongside.cycle.picture import Picture
from alongside.screens.outcomes import FormLeft, Outcome, QuitConfirmed
from alongside.screens.view import View

_ENDS_WATCH = "End the watch? Nobody watches the lines then."
_ENDS_REPLAY = "End the replay?"
_ENDS_EXERCISE = "End the exercise? The debrief says when it was left."
_ENDS_INSTRUCTING = "Close this console? The trainee goes on; time that you stopped goes on too."
_ENDS_LOOKING = "Close this console? It only looks: the watch goes on at the other."
_ENDS_UNKEPT = "Close this console? NOBODY KEEPS THE WATCH: k takes it over here."


class QuitForm(Static, can_focus=True):
    def __init__(self, name: str) -> None:
        super().__init__(id=name, markup=False, classes="form")
        self._asked = ""

    def open(self, view: View, by: str) -> None:
        """Ask, and take the keyboard."""
        self.follow(view)
        self.screen.set_focus(self, scroll_visible=False)

    def follow(self, view: View) -> None:
        """Ask by the View of now: whoever keeps the watch may end while it is asked."""
        question = _question(view.watch)
        if question != self._asked:
            self._asked = question
            self.update(f" {question}\n y ends, any other key goes on")

    def press(self, key: Key) -> Outcome:
        """Return that the watch is to be ended, or not."""
        return QuitConfirmed() if key.key in ("y", "Y") else FormLeft()

    def paste(self, text: str) -> None:
        """Ignored: ending is confirmed by a key."""


def _question(watch: Picture) -> str:
    if watch.instructing is not None:
        return _ENDS_INSTRUCTING
    if watch.exercise:
        return _ENDS_EXERCISE
    if watch.replay:
        return _ENDS_REPLAY
    if not watch.look_only:
        return _ENDS_WATCH
    if not watch.unkept:
        return _ENDS_LOOKING
    return _ENDS_UNKEPT if watch.can_keep else _ENDS_UNKEPT.partition(":")[0] + "."
