"""A bar on standard error for what takes some seconds, where that is a terminal."""

import sys
import time
from types import TracebackType
from typing import Final

from alongside.wording.safe import safe

WIDTH: Final = 40
EVERY_S: Final = 0.1
"""Of the machine's time: no oftener is it drawn."""
CLEAR: Final = "\r\x1b[K"


class Progress:
    """What is done of a command, drawn over itself; taken away at its end, however that comes."""

    def __init__(self) -> None:
        self._shown = sys.stderr.isatty()
        self._next = 0.0

    def show(self, part: float, words: str = "") -> None:
        """Show a part, 0 to 1, and words behind it."""
        part = min(max(part, 0.0), 1.0)
        self.say(f"{'━' * round(part * WIDTH):<{WIDTH}} {part:4.0%}  {words}")

    def say(self, words: str) -> None:
        """Show words alone, where there is no end in sight."""
        if not self._shown or time.monotonic() < self._next:
            return
        self._next = time.monotonic() + EVERY_S
        sys.stderr.write(f"{CLEAR}{safe(words)}")
        sys.stderr.flush()

    def __enter__(self) -> "Progress":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._shown:
            sys.stderr.write(CLEAR)
            sys.stderr.flush()
