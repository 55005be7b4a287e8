"""Lines out of a stream of bytes that comes in pieces."""

from alongside.feeds.sentence import LONGEST


class LineCutter:
    """Cuts a stream at CR LF, LF or CR. Bytes without a line end come out once, cut off behind the length
    that is refused as over-long, and the rest of them is dropped."""

    def __init__(self, longest: int = LONGEST) -> None:
        self._longest = longest
        self._rest = b""
        self._dropping = False
        self.bytes = 0
        """All that came."""

    def cut(self, data: bytes) -> list[bytes]:
        """Return the lines that `data` completes, without their ends; empty lines are left out."""
        self.bytes += len(data)
        *whole, rest = (self._rest + data).replace(b"\r", b"\n").split(b"\n")
        if whole and self._dropping:
            whole[0], self._dropping = b"", False
        if self._dropping:
            rest = b""
        elif len(rest) > self._longest:
            whole.append(rest[: self._longest + 1])
            rest, self._dropping = b"", True
        self._rest = rest
        return [line[: self._longest + 1] for line in whole if line]

    def clear(self) -> None:
        """Forget a line half received: the port was lost."""
        self._rest, self._dropping = b"", False
