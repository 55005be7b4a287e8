"""A bar on standard error for what takes some seconds, where that is a terminal."""

import os
import sys
import time
from types import TracebackType
from typing import Final

from alongside.cli.interrupts import end_if_asked
from alongside.wording.safe import safe

WIDTH: Final = 40
"""Of the bar, where the terminal and the words leave so much."""
LEAST_WIDTH: Final = 8
"""Words are cut before the bar gets any shorter."""
EVERY_S: Final = 0.1
"""Of the machine's time: no oftener is it drawn."""
CLEAR: Final = "\r\x1b[K"
MARK, PLAIN_MARK = "━", "#"


class Progress:
    """What is done of a command, drawn over itself in one row, however narrow the terminal is; taken away at
    its end, however that comes. On what is no terminal, and on one that cannot clear a row, nothing is
    drawn."""

    def __init__(self, wanted: bool = True) -> None:
        """`wanted` False: nothing is drawn, since rows of an output come on the same terminal."""
        self._shown = wanted and sys.stderr.isatty() and os.environ.get("TERM") != "dumb"
        self._mark = MARK if _can_write(MARK) else PLAIN_MARK
        self._next = 0.0

    def show(self, part: float, words: str = "") -> None:
        """Show a part, 0 to 1, and words behind it."""
        end_if_asked()
        if not self._is_due():
            return
        part = min(max(part, 0.0), 1.0)
        text = f" {part:4.0%}  {safe(words)}"
        width = min(WIDTH, max(_columns() - len(text), LEAST_WIDTH))
        self._draw(f"{self._mark * round(part * width):<{width}}{text}")

    def say(self, words: str) -> None:
        """Show words alone, where there is no end in sight."""
        end_if_asked()
        if self._is_due():
            self._draw(safe(words))

    def begin(self, words: str) -> None:
        """Show at once what is done from now on."""
        if self._shown:
            self._draw(safe(words))

    def _is_due(self) -> bool:
        return self._shown and time.monotonic() >= self._next

    def _draw(self, text: str) -> None:
        self._next = time.monotonic() + EVERY_S
        sys.stderr.write(f"{CLEAR}{text[: _columns()]}")
        sys.stderr.flush()

    def __enter__(self) -> "Progress":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._shown:
            sys.stderr.write(CLEAR)
            sys.stderr.flush()


def _columns() -> int:
    """Return how many columns a row may have: one less than the terminal, so that it never breaks."""
    try:
        return max(os.get_terminal_size(sys.stderr.fileno()).columns - 1, 0) or WIDTH
    except (OSError, ValueError):
        return WIDTH


def _can_write(text: str) -> bool:
    try:
        text.encode(sys.stderr.encoding or "ascii")
    except UnicodeEncodeError:
        return False
    return True
