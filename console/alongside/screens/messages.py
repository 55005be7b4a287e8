"""The messages that screens pass."""

from typing import TYPE_CHECKING

from textual.message import Message

from alongside.cycle.picture import Picture
from alongside.reports.remarks.text import Remarks
from alongside.screens.question import Answer

if TYPE_CHECKING:
    from alongside.screens.board import Board


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


class ViewWritten(Message):
    """What was in sight was written to files, or why not, in words."""

    def __init__(self, words: str) -> None:
        super().__init__()
        self.words = words


class Clicked(Message):
    """The mouse pressed on a cell of a board."""

    def __init__(self, board: "Board", x: int, y: int) -> None:
        super().__init__()
        self.board, self.x, self.y = board, x, y


class Scrolled(Message):
    """The wheel of the mouse turned over a board, by so many rows."""

    def __init__(self, board: "Board", step: int) -> None:
        super().__init__()
        self.board, self.step = board, step
