"""Feeds read in threads of their own, one a port."""

from alongside.feeds.ports import reader_of
from alongside.feeds.reader import Deliver, PortStatus
from alongside.runtime.worker import Worker
from alongside.stay.model import Feed

LONGEST_STOP_S = 2.0
"""An attempt to connect can take longer; nobody waits for it at the end."""


class FeedThread:
    """Read one feed until stopped; `deliver` gets each line in this thread. Raises WrongInput for a port that
    cannot be understood."""

    def __init__(self, feed: Feed, deliver: Deliver) -> None:
        self.feed = feed.name
        self._reader = reader_of(feed, deliver)
        self._worker: Worker[None] = Worker(f"feed {feed.name}", self._session, lambda: self._reader.rest_s)

    @property
    def status(self) -> PortStatus:
        """Return whether the port is open, and why not."""
        return self._reader.status

    def start(self) -> None:
        """Begin to read."""
        self._worker.start()

    def stop(self) -> None:
        """End, with the port closed where it can be closed at once."""
        self._worker.stop(LONGEST_STOP_S)
        self._reader.status = PortStatus(False, "stopped")

    def _session(self) -> None:
        self._reader.session(self._worker.stopping)
