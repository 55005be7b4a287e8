"""Lines on their way from the thread that reads a port to the cycle that takes them."""

from collections.abc import Iterable
from typing import Final, NamedTuple, Protocol

MOST_LINES: Final = 20_000
"""Lines of one feed in a cycle. What a ship's gauges send is a hundredth of it; what comes faster must not
hold up the watch."""


class FeedLine(NamedTuple):
    """A line as it came, without its end."""

    time: float
    """UNIX seconds."""
    feed: str
    line: bytes
    sender: str = ""
    """Address of who sent the datagram; "" where a port has one other end only."""


class Inbox(Protocol):
    """Lines of one feed that wait for the next cycle, `MOST_LINES` at most. Who can make the other end wait
    asks for room before reading on; who cannot puts with `put_newest`, which drops the oldest."""

    def has_room(self, within: float) -> bool:
        """Wait until there is room, `within` so many seconds; return whether there is."""

    def put(self, lines: Iterable[FeedLine]) -> None:
        """Add lines: all of them."""

    def put_newest(self, lines: Iterable[FeedLine], lost_before: int = 0) -> None:
        """Add lines; of too many the oldest are dropped. `lost_before` counts lines that the system dropped
        before them."""
