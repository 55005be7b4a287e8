"""Places in gzipped logs of others, from which unzipping can go on.

Whoever reads such a log from its beginning leaves places behind, each with what the unzipper remembers (some
40 kB). Whoever comes later to the same file begins at the last of them before his time. They last as long as
the program; nothing is written.
"""

import os
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import BinaryIO, Final

MOST_PLACES: Final = 256
"""Of a file: some 10 MB."""
LEAST_APART: Final = 1 << 16
"""Bytes of the file; a smaller one is unzipped as fast from its beginning."""
FILES: Final = 2


@dataclass(frozen=True, slots=True, eq=False)
class Place:
    """An unzipper that has read `offset` bytes of a file, the last of which, `packed`, it has still to take.
    No line up to there has a time later than `newest`, UNIX seconds, as far as was looked."""

    offset: int
    packed: bytes
    member: "zlib._Decompress"
    newest: float


class Places:
    """Places of one file. Several threads may read it and leave places: each deed here is one step of a
    dictionary."""

    def __init__(self, size: int) -> None:
        self._apart = max(size // MOST_PLACES, LEAST_APART)
        self._places: dict[int, Place] = {}

    def is_due(self, offset: int) -> bool:
        """Return whether a place would be kept that is so far into the file."""
        part = offset // self._apart
        return part > 0 and part not in self._places

    def keep(self, place: Place) -> None:
        self._places.setdefault(place.offset // self._apart, place)

    def before(self, time: float) -> Place | None:
        """Return the last place up to which no time was as late as `time`, with an unzipper of its own; None
        where that is the beginning."""
        earlier = [place for place in list(self._places.values()) if place.newest < time]
        last = max(earlier, key=lambda place: place.offset, default=None)
        return None if last is None else replace(last, member=last.member.copy())


_KNOWN: Final[dict[tuple[int, ...], Places]] = {}


def places_in(file: BinaryIO) -> Places:
    """Return the places of a file as it is now: one that was changed since has none yet."""
    now = os.fstat(file.fileno())
    key = now.st_dev, now.st_ino, now.st_size, now.st_mtime_ns
    places = _KNOWN.setdefault(key, Places(now.st_size))
    for other in [each for each in list(_KNOWN) if each != key][: 1 - FILES]:
        _KNOWN.pop(other, None)
    return places


def from_next_line(texts: Iterator[bytes]) -> Iterator[bytes]:
    """Yield texts without the rest of a line that they begin with."""
    for text in texts:
        whole = text.replace(b"\r", b"\n").find(b"\n") + 1
        if whole:
            yield text[whole:]
            break
    yield from texts
