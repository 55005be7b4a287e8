"""Lines of a log, framed and timed, many at a time."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from alongside.feeds.block import Flags, Positions
from alongside.readings import Floats


@dataclass(frozen=True, slots=True, eq=False)
class Batch:
    """k lines in the order of the log; arrays (k,).

    Line `at` is `text[begin[at]:end[at]]`: what a sentence says between start and checksum where it is
    `sound`, and the whole line, TAG blocks and all, where that has yet to be found out. `gaps` are the
    silences (from, to) that end within.
    """

    text: bytes
    begin: Positions
    end: Positions
    sound: Flags
    time: Floats
    """UNIX seconds, never falling."""
    source: Positions
    """Of each line, its place in `sources`, the names of the feeds in its TAG block; None for none."""
    sources: tuple[bytes | None, ...]
    sender: Positions
    """Of each line, its place in `senders`, addresses of who sent the datagram; "" where not known."""
    senders: tuple[str, ...]
    gaps: tuple[tuple[float, float], ...] = ()
    numbered: tuple[tuple[int, bytes, int], ...] = ()
    """Lines that bear a number: their places, the source that numbers them, the number."""

    def __len__(self) -> int:
        return self.time.size

    def line(self, at: int) -> bytes:
        return self.text[self.begin[at] : self.end[at]]

    def rows(self) -> Iterator[tuple[float, bytes | None, bytes, bool, str]]:
        """Yield time, source, line, whether it is sound, and sender, line by line."""
        text, sources, senders = self.text, self.sources, self.senders
        columns = (self.time, self.source, self.begin, self.end, self.sound, self.sender)
        for time, source, begin, end, sound, sender in zip(*(c.tolist() for c in columns), strict=True):
            yield time, sources[source], text[begin:end], sound, senders[sender]

    def where(self, keep: Flags) -> "Batch":
        """Return a batch of the lines to keep only."""
        place = np.cumsum(keep) - 1
        return replace(
            self,
            begin=self.begin[keep],
            end=self.end[keep],
            sound=self.sound[keep],
            time=self.time[keep],
            source=self.source[keep],
            sender=self.sender[keep],
            numbered=tuple((int(place[at]), by, number) for at, by, number in self.numbered if keep[at]),
        )
