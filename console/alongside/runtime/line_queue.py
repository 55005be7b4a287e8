"""The inbox of one feed, between two threads."""

import threading
import time
from collections import deque
from collections.abc import Iterable
from math import inf
from typing import Final

from alongside.feeds.inbox import MOST_LINES, FeedLine

LATELY_S: Final = 60.0


class LineQueue:
    """Lines of one feed that wait for the next cycle: an `Inbox`. One thread puts, another takes. `dropped`
    counts the lines that were dropped, ever since."""

    def __init__(self, most: int = MOST_LINES) -> None:
        self._most = most
        self._lines: deque[FeedLine] = deque()
        self._changed = threading.Condition()
        self.dropped = 0
        self._dropped_at = -inf

    @property
    def dropping(self) -> bool:
        """Return whether lines were dropped within the last minute."""
        return time.monotonic() - self._dropped_at < LATELY_S

    def has_room(self, within: float) -> bool:
        """Wait until there is room, `within` so many seconds; return whether there is."""
        with self._changed:
            return self._changed.wait_for(lambda: len(self._lines) < self._most, within)

    def put(self, lines: Iterable[FeedLine]) -> None:
        """Add lines: all of them."""
        with self._changed:
            self._lines.extend(lines)
            self._changed.notify_all()

    def put_newest(self, lines: Iterable[FeedLine], lost_before: int = 0) -> None:
        """Add lines; of too many the oldest are dropped. `lost_before` counts lines that the system dropped
        before them."""
        with self._changed:
            self._lines.extend(lines)
            too_many = max(0, len(self._lines) - self._most)
            for _ in range(too_many):
                self._lines.popleft()
            if too_many or lost_before:
                self.dropped += too_many + lost_before
                self._dropped_at = time.monotonic()
            self._changed.notify_all()

    def take(self) -> list[FeedLine]:
        """Return and remove the oldest lines, as many as a cycle may have."""
        with self._changed:
            count = min(len(self._lines), self._most)
            taken = [self._lines.popleft() for _ in range(count)]
            self._changed.notify_all()
        return taken

    def wait(self, within: float) -> bool:
        """Wait until something is there, `within` so many seconds; return whether it is."""
        with self._changed:
            return self._changed.wait_for(lambda: bool(self._lines), within)
