"""Lines out of a stream of bytes that comes in pieces."""

from alongside.feeds.sentence import LONGEST
from alongside.stay.ports import LINE, PAUSE


class LineCutter:
    """Cuts a stream at CR LF, LF or CR, and at what else `end` of its port says. Bytes without a line end
    come out once, cut off behind the length that is refused as over-long, and the rest of them is dropped."""

    def __init__(self, longest: int = LONGEST, end: str = LINE) -> None:
        self._longest = longest
        self._byte = b"" if end in (LINE, PAUSE) else bytes.fromhex(end)
        self.by_pause = end == PAUSE
        """What came before a pause is a line."""
        self._rest = b""
        self._dropping = False
        self.bytes = 0
        """All that came."""

    @property
    def rest(self) -> bytes:
        """Return what has come of a line that has not ended."""
        return self._rest

    def cut(self, data: bytes) -> list[bytes]:
        """Return the lines that `data` completes, without their ends; empty lines are left out."""
        self.bytes += len(data)
        came = (self._rest + data).replace(b"\r", b"\n")
        *whole, rest = (came.replace(self._byte, b"\n") if self._byte else came).split(b"\n")
        if whole and self._dropping:
            whole[0], self._dropping = b"", False
        if self._dropping:
            rest = b""
        elif len(rest) > self._longest:
            whole.append(rest[: self._longest + 1])
            rest, self._dropping = b"", True
        self._rest = rest
        return [line[: self._longest + 1] for line in whole if line]

    def paused(self) -> list[bytes]:
        """Return the line that a pause ends; [] where nothing has come of one, or a pause ends none."""
        return self.cut(b"\n") if self.by_pause and (self._rest or self._dropping) else []

    def skip(self) -> None:
        """Leave out what comes up to the next line end: its beginning was missed."""
        self._rest, self._dropping = b"", True

    def clear(self) -> None:
        """Forget a line half received: the port was lost."""
        self._rest, self._dropping = b"", False
