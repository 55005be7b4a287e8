"""Recording what comes in, byte for byte behind a TAG block of its own."""

import os
import time
from collections.abc import Callable, Iterable
from math import floor
from pathlib import Path
from types import TracebackType
from typing import Final

from alongside.feeds.gzip_members import GzipMembers
from alongside.feeds.inbox import FeedLine
from alongside.feeds.sentence import tag_block, tag_name

FLUSH_S: Final = 1.0


def to_millisecond(time: float) -> float:
    """Return a time as a log will give it back, not later than it is."""
    return floor(time * 1000.0) / 1000.0


class LogWriter:
    r"""Writes `\s:NAME,c:MILLIS*hh\` + the line as it came + CR LF; where the sender of a datagram is known,
    `\s:NAME,c:MILLIS,t:from ADDRESS*hh\`.

    A plain log goes to the operating system line by line, so that what was written survives a kill of the
    program at any instant. A gzipped one (name ends in `.gz`) has members of ten minutes and is flushed, so
    that it can be read up to there, by the first write or `flush` after `flush_s`; with `flush_s` infinite
    its bytes hang on nothing but what was written. `append` goes on with a plain log, on a new line.
    Raises OSError when the file cannot be written.
    """

    def __init__(
        self,
        path: str | Path,
        append: bool = False,
        flush_s: float = FLUSH_S,
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        self.path = Path(path)
        self._zip = GzipMembers() if self.path.suffix == ".gz" else None
        if append and self._zip:
            raise ValueError("a gzipped log cannot be continued, expected a plain one")
        broken_off = append and _lacks_line_end(self.path)
        self._file = self.path.open("ab" if append else "wb", buffering=0)
        self._flush_s = flush_s
        self._monotonic = monotonic
        self._flushed = monotonic()
        if broken_off:
            self._write(b"\r\n")

    def write(self, time: float, source: str, line: bytes, sender: str = "") -> None:
        """One line without its end; `time` UNIX seconds, `source` the feed's name."""
        self.write_lines([FeedLine(time, source, line, sender)])

    def write_lines(self, lines: Iterable[FeedLine]) -> None:
        """Many lines at once."""
        texts = ((t, tag_block(tag_name(s), t, by) + line + b"\r\n") for t, s, line, by in lines)
        if self._zip is None:
            self._write(b"".join(text for _, text in texts))
            return
        self._write(b"".join(self._zip.compress(time, text) for time, text in texts))
        if self._monotonic() - self._flushed >= self._flush_s:
            self.flush()

    def _write(self, text: bytes) -> None:
        """All of it: an unbuffered write may take only a part."""
        while text:
            text = text[self._file.write(text) or 0 :]

    def flush(self) -> None:
        """Bring everything written so far into the file."""
        if self._zip is not None:
            self._write(self._zip.flush())
        self._flushed = self._monotonic()

    def sync(self) -> None:
        """Bring everything written so far onto the disk, where it outlasts a loss of power."""
        self.flush()
        os.fsync(self._file.fileno())

    def close(self) -> None:
        if self._file.closed:
            return
        if self._zip is not None:
            self._write(self._zip.finish())
        self._file.close()

    def __enter__(self) -> "LogWriter":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def _lacks_line_end(path: Path) -> bool:
    if not path.exists() or not path.stat().st_size:
        return False
    with path.open("rb") as file:
        file.seek(-1, 2)
        return file.read(1) != b"\n"
