"""The messages that screens pass."""

from textual.message import Message

from alongside.cycle.picture import Picture
from alongside.reports.remarks.text import Remarks
from alongside.screens.question import Answer


class PictureArrived(Message):
    """A new Picture came from the watch. A newer one in the queue takes the place of an older one, so that
    a slow terminal never makes the console fall behind."""

    def __init__(self, picture: Picture) -> None:
        super().__init__()
        self.picture = picture

    def can_replace(self, message: Message) -> bool:
        return isinstance(message, PictureArrived)


class Answered(Message):
    """A question of what if was calculated."""

    def __init__(self, answer: Answer) -> None:
        super().__init__()
        self.answer = answer


class RemarksFound(Message):
    """The stay file was looked through; or why it was not."""

    def __init__(self, remarks: Remarks | None, fault: str = "") -> None:
        super().__init__()
        self.remarks = remarks
        self.fault = fault


class PartFailed(Message):
    """A part of the screen could not be drawn."""

    def __init__(self, part: str, fault: Exception) -> None:
        super().__init__()
        self.part = part
        self.fault = fault
