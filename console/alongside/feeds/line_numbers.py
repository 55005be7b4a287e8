"""Lines that bear a number (`n:` of a TAG block, IEC 61162-450): which are missing, which came again.

Each source numbers its lines 1 to 999 and then begins at 1 again. What is counted follows from the lines
alone, so that a log of them gives the same.
"""

from collections import deque
from typing import Final

from alongside.readings import LineNumbers

ROUND: Final = 999
RECENT: Final = 64
"""A number not farther back than this is one that came again, or late; any other jump is a gap. Ours."""
MOST_SOURCES: Final = 64
"""Sources of one feed followed. Addresses cost a liar nothing."""
_FIRST: Final = (0, 1)
"""With either a source may begin."""


class NumberedSource:
    """What was heard of one source."""

    def __init__(self) -> None:
        self.heard = self.missing = self.repeated = self.late = self.restarts = 0
        self._newest: int | None = None
        self._awaited: deque[int] = deque(maxlen=RECENT)
        """Numbers that are missing and may still come."""

    def hear(self, number: int) -> None:
        """Take the number of a line."""
        self.heard += 1
        newest, self._newest = self._newest, number
        if newest is None or number == _following(newest) or (newest == ROUND and number == 0):
            return
        step = (number - newest) % ROUND
        if number in self._awaited:
            self._awaited.remove(number)
            self.missing -= 1
            self.late += 1
            self._newest = newest
        elif number in _FIRST and step > RECENT:
            self._awaited.clear()
            self.restarts += 1
        elif -step % ROUND < RECENT:
            self.repeated += 1
            self._newest = newest
        else:
            self.missing += step - 1
            self._awaited.extend((newest + k - 1) % ROUND + 1 for k in range(max(1, step - RECENT), step))


def _following(number: int) -> int:
    return number % ROUND + 1


class FeedNumbers:
    """What was heard of all sources of one feed, told apart by address of the sender and name."""

    def __init__(self) -> None:
        self._sources: dict[tuple[str, bytes], NumberedSource] = {}

    def hear(self, sender: str, source: bytes, number: int) -> None:
        """Take the number of a line of a source."""
        known = self._sources.get((sender, source))
        if known is None:
            if len(self._sources) >= MOST_SOURCES:
                return
            known = self._sources[sender, source] = NumberedSource()
        known.hear(number)

    def all(self) -> tuple[LineNumbers, ...]:
        """Return what was heard of each source, in the order in which they came."""
        return tuple(
            LineNumbers(
                source.decode("ascii", "replace"), sender, n.heard, n.missing, n.repeated, n.late, n.restarts
            )
            for (sender, source), n in self._sources.items()
        )
