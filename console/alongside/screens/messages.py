"""The messages that screens pass."""

from textual.message import Message

from alongside.actions import Action, ReplayControl
from alongside.cycle.picture import Picture
from alongside.screens.question import Answer, Question


class PictureArrived(Message):
    """A new Picture came from the watch. A newer one in the queue takes the place of an older one, so that
    a slow terminal never makes the console fall behind."""

    def __init__(self, picture: Picture) -> None:
        super().__init__()
        self.picture = picture

    def can_replace(self, message: Message) -> bool:
        return isinstance(message, PictureArrived)


class FormDone(Message):
    """A form was filled in and confirmed; `said` tells in words what was handed in."""

    def __init__(self, deed: Action | ReplayControl | Question, said: str) -> None:
        super().__init__()
        self.deed = deed
        self.said = said


class Answered(Message):
    """A question of what if was reckoned."""

    def __init__(self, answer: Answer) -> None:
        super().__init__()
        self.answer = answer


class FormLeft(Message):
    """A form was left without doing anything."""


class QuitConfirmed(Message):
    """The watch is to be ended."""


class PartFailed(Message):
    """A part of the screen could not be drawn."""

    def __init__(self, part: str, fault: Exception) -> None:
        super().__init__()
        self.part = part
        self.fault = fault
