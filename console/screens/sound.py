"""Sound: which pattern of bells a stage has. The only place where the console makes itself heard."""

from collections.abc import Callable
from typing import Final

from console.assessment import Stage
from console.picture import Picture

PATTERNS: Final = {
    Stage.ALARM: (0.0, 0.25, 0.5, 1.0, 1.25, 1.5),
    Stage.WARNING: (0.0, 0.6),
}
"""Seconds after which a bell is rung: an alarm three quick ones twice, a warning two slow ones."""


class Sounder:
    """Keeps the sound that is due until it is rung: the Picture that called for it may have been replaced
    by a newer one before the screen got to it."""

    def __init__(self) -> None:
        self._due = Stage.NORMAL

    def hear(self, picture: Picture) -> None:
        """Called from the watch's thread for every Picture."""
        self._due = max(self._due, picture.sound)

    def ring(self, after: Callable[[float], None]) -> None:
        """Ring what is due: `after(seconds)` is asked to ring one bell so much later."""
        due, self._due = self._due, Stage.NORMAL
        for seconds in PATTERNS.get(due, ()):
            after(seconds)
