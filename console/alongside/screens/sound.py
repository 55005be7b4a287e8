"""Sound: which pattern of bells a stage has. The only place where the console makes itself heard."""

from collections.abc import Callable
from math import inf
from queue import SimpleQueue
from typing import Final

from alongside.cycle.picture import Picture
from alongside.stay.stage import Stage

PATTERNS: Final = {
    Stage.ALARM: (0.0, 0.25, 0.5, 1.0, 1.25, 1.5),
    Stage.WARNING: (0.0, 0.6),
}
"""Seconds after which a bell is rung: an alarm three quick ones twice, a warning two slow ones."""


NO_FIGURES_EVERY_S: Final = 10.0
"""While no new figures come the alarm sounds so often: whatever should ring may be what has stopped."""


class Sounder:
    """Keeps the sounds that are due until they are rung: the Picture that called for one may have been
    replaced by a newer one before the screen got to it."""

    def __init__(self) -> None:
        self._due: SimpleQueue[Stage] = SimpleQueue()
        self._rung_at = -inf
        self._silent_until = -inf

    def hear(self, picture: Picture) -> None:
        """Called from the watch's thread for every Picture."""
        self._due.put(picture.sound)

    def no_figures(self, now: float) -> None:
        """Called while no new figures come: an alarm is due, unless the sound is silenced."""
        if now >= max(self._rung_at + NO_FIGURES_EVERY_S, self._silent_until):
            self._rung_at = now
            self._due.put(Stage.ALARM)

    def silence(self, now: float, seconds: float) -> None:
        """Silence that alarm; those of Pictures are silenced by the watch itself."""
        self._silent_until = now + seconds

    def ring(self, after: Callable[[float], None]) -> None:
        """Ring the worst that is due: `after(seconds)` is asked to ring one bell so much later."""
        worst = Stage.NORMAL
        while not self._due.empty():
            worst = max(worst, self._due.get())
        for seconds in PATTERNS.get(worst, ()):
            after(seconds)
