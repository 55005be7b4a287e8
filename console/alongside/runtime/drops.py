"""Notes of lines that were dropped: they are not on record, so the record says how many they were."""

from collections.abc import Mapping
from math import inf
from typing import Final

from alongside.alerts.model import Event
from alongside.feeds.reader import PortStatus
from alongside.wording.names import not_taken
from alongside.wording.safe import safe

EVERY_S: Final = 600.0
"""While lines are dropped, so often is it said how many were."""


class Drops:
    """Remembers what was noted of each feed."""

    def __init__(self) -> None:
        self._noted: dict[str, tuple[int, float]] = {}

    def news(self, now: float, feeds: Mapping[str, PortStatus]) -> list[Event]:
        """Return a note for each feed that dropped lines: at once, then every ten minutes, and at the end."""
        news: list[Event] = []
        for feed, status in feeds.items():
            dropped, at = self._noted.get(feed, (0, -inf))
            if status.dropped > dropped and (now - at >= EVERY_S or not status.dropping):
                self._noted[feed] = status.dropped, now
                text = f"Feed {safe(feed)}: {not_taken(status.dropped - dropped, 0)}; not on record"
                news.append(Event(now, "note", text=text))
        return news
