"""Feeds read in threads of their own, one a port."""

import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from alongside.feeds.inbox import FeedLine
from alongside.feeds.ports import reader_of
from alongside.feeds.reader import PortStatus
from alongside.runtime.line_queue import LineQueue
from alongside.runtime.worker import Worker
from alongside.stay.model import Feed

LONGEST_STOP_S = 2.0
"""An attempt to connect can take longer; nobody waits for it at the end."""


class FeedThread:
    """Read one feed until stopped; its lines wait in `inbox`. A file is looked for from the folder of
    `stay_file`. Raises WrongInput for a port that cannot be understood."""

    def __init__(self, feed: Feed, stay_file: Path = Path()) -> None:
        self.feed, self.port = feed.name, feed.port
        self.inbox = LineQueue()
        self._reader = reader_of(feed, self.inbox, stay_file.parent)
        self._worker: Worker[None] = Worker(f"feed {feed.name}", self._session, lambda: self._reader.rest_s)

    @property
    def status(self) -> PortStatus:
        """Return whether the port is open, and why not, and what was not taken from it."""
        inbox, others = self.inbox, self._reader.others
        return replace(self._reader.status, dropped=inbox.dropped, dropping=inbox.dropping, others=others)

    @property
    def bytes_heard(self) -> int:
        """Return how many bytes came, in lines or not."""
        return self._reader.bytes_heard

    @property
    def rest(self) -> bytes:
        """Return what has come of a line that has not ended."""
        return self._reader.rest

    def start(self) -> None:
        """Begin to read."""
        self._worker.start()

    def stop(self, within: float = LONGEST_STOP_S) -> None:
        """End, with the port closed where it can be closed at once."""
        self._worker.stop(within)
        self._reader.status = PortStatus(False, "stopped")

    def _session(self) -> None:
        self._reader.session(self._worker.stopping)


def stop_all(feeds: Sequence[FeedThread]) -> None:
    """End all of them, within the time that one of them may take."""
    for feed in feeds:
        feed.stop(0.0)
    until = time.monotonic() + LONGEST_STOP_S
    for feed in feeds:
        feed.stop(max(0.0, until - time.monotonic()))


def lines_of(feeds: Sequence[FeedThread]) -> list[FeedLine]:
    """Return and remove the lines that came since the last time, oldest first."""
    return sorted((line for feed in feeds for line in feed.inbox.take()), key=lambda line: line.time)
