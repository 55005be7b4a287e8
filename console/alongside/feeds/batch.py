"""Lines of a log, framed and timed, many at a time."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate, compress


@dataclass(frozen=True, slots=True)
class Batch:
    """Lines in the order of the log; five lists of one length.

    `line` is what a sentence says between start and checksum where it is `sound`, and the whole line, TAG
    blocks and all, where that has yet to be found out. `gaps` are the silences (from, to) that end within.
    """

    time: list[float]
    """UNIX seconds, never falling."""
    source: list[bytes | None]
    line: list[bytes]
    sound: list[bool]
    sender: list[str]
    """Address of who sent the datagram, "" where that is not known."""
    gaps: tuple[tuple[float, float], ...] = ()
    numbered: tuple[tuple[int, bytes, int], ...] = ()
    """Lines that bear a number: their places, the source that numbers them, the number."""

    def __len__(self) -> int:
        return len(self.time)

    def rows(self) -> Iterator[tuple[float, bytes | None, bytes, bool, str]]:
        return zip(self.time, self.source, self.line, self.sound, self.sender, strict=True)

    def where(self, keep: list[bool]) -> "Batch":
        """Return a batch of the lines to keep only."""
        place = list(accumulate(keep, initial=0)) if self.numbered else []
        return Batch(
            list(compress(self.time, keep)),
            list(compress(self.source, keep)),
            list(compress(self.line, keep)),
            list(compress(self.sound, keep)),
            list(compress(self.sender, keep)),
            self.gaps,
            tuple((place[at], source, number) for at, source, number in self.numbered if keep[at]),
        )
