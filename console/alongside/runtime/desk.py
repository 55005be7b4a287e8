"""Where screens and the watch meet: the screen receives Pictures and hands back what the watch does."""

from collections.abc import Callable
from typing import Protocol

from alongside.actions import Action
from alongside.actions.controls import Control
from alongside.cycle.picture import Picture


class Desk(Protocol):
    """A running watch as a screen sees it. All methods return at once and may be called from the screen's
    thread; `deliver` is called from another thread and must only post a message."""

    def start(self, deliver: Callable[[Picture], None]) -> None:
        """Begin; a Picture is delivered after every cycle and at once after an action took effect."""

    def act(self, action: Action) -> None:
        """Hand in what the watch did; `acts` of a later Picture says that it took effect and is on record."""

    def control(self, control: Control) -> None:
        """Pace of a replay; of a console that looks only, that it is to keep the watch. Others ignore it."""

    def stop(self) -> None:
        """End: close feeds and files. Returns when all that was shown is written."""
