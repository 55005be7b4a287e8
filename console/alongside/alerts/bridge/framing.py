"""Sentences made ready for a port: bare lines, or a datagram of IEC 61162-450."""

from collections.abc import Sequence
from typing import Final

from alongside.feeds.sentence import checksum

HEADER: Final = b"UdPbC\0"
MOST_GROUPS: Final = 99
MOST_NUMBERS: Final = 999


class Framing:
    """Puts the sentences of one message together; with a `source` they bear TAG blocks of IEC 61162-450:
    sender, number of the sentence, and the group of a message of several."""

    def __init__(self, source: str = "") -> None:
        self._source = source
        self._number = 0
        self._group = 0

    def __call__(self, sentences: Sequence[bytes]) -> bytes:
        """Return the bytes that are to be sent at once."""
        if not self._source:
            return b"".join(each + b"\r\n" for each in sentences)
        if len(sentences) > 1:
            self._group = self._group % MOST_GROUPS + 1
        tagged = (self._tag(place, len(sentences)) + each for place, each in enumerate(sentences, 1))
        return HEADER + b"".join(each + b"\r\n" for each in tagged)

    def _tag(self, place: int, count: int) -> bytes:
        self._number = self._number % MOST_NUMBERS + 1
        group = f"g:{place}-{count}-{self._group}," if count > 1 else ""
        block = f"{group}s:{self._source},n:{self._number}".encode()
        return b"\\%s*%02X\\" % (block, checksum(block))
