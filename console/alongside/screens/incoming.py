"""Pictures on their way to the screen: the newest, when it is due, and the sounds called for."""

from typing import Final

from alongside.cycle.picture import Picture
from alongside.screens.refresh_rate import EVERY_S, refreshed
from alongside.screens.sound import Sounder
from alongside.screens.view import View

SILENT_AFTER_S: Final = 10.0
"""Without a new Picture for so long the screen says that its figures are old."""
EARLY_S: Final = 0.25
"""So much before its time a refresh counts as due: the screen looks only twice a second."""


class Incoming:
    """For the screen's thread; `sounder` alone hears Pictures from the watch's thread too."""

    def __init__(self, now: float) -> None:
        self.sounder = Sounder()
        self._newest: Picture | None = None
        self._arrived_at = self._shown_at = now

    def arrived(self, picture: Picture, now: float) -> None:
        """Take a new Picture."""
        self._newest, self._arrived_at = picture, now

    def shown_in(self, view: View, now: float, at_once: bool = False) -> View:
        """Return the View with the newest Picture in it, as far as it is due by now or wanted at once."""
        newest = self._newest
        if newest is None or newest is view.watch is view.figures:
            return view
        due = now - self._shown_at >= EVERY_S - EARLY_S
        if due:
            self._shown_at = now
        return refreshed(view, newest, due or at_once)

    def silent_s(self, now: float) -> float | None:
        """Return for how long no Picture has come, where that is too long; a replay that stands still may."""
        stopped = self._newest is not None and self._newest.replay and self._newest.paused
        silent = now - self._arrived_at
        return silent if silent >= SILENT_AFTER_S and not stopped else None
