"""How the console ends when it is told to from outside: SIGTERM, SIGHUP, SIGINT.

The handlers end the app in order, so that the terminal is restored and all that was shown is written. A
terminal that takes no more output can hold up the app for ever; then, after a grace, the terminal's modes
are put back and the process ends from a thread of its own.
"""

import os
import signal
import sys
import termios
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from types import FrameType
from typing import Any, Final

INTERRUPTED: Final = 130
GRACE_S: Final = 5.0
_SIGNALS: Final = (signal.SIGTERM, signal.SIGHUP, signal.SIGINT)
_LEAVE_SCREEN: Final = b"\x1b[?1049l\x1b[?25h\x1b[?1004l\x1b[?2004l\x1b[?7h\x1b[0m"


@contextmanager
def ended_by_signals(end: Callable[[], None], last_will: Callable[[], None]) -> Iterator[None]:
    """While within, each signal calls `end` (from the main thread, at any moment); if the process still
    runs `GRACE_S` later, `last_will` is called and it ends with status 130."""
    modes = _terminal_modes()
    timers: list[threading.Timer] = []

    def handle(_number: int, _frame: FrameType | None) -> None:
        if not timers:
            timers.append(threading.Timer(GRACE_S, _end_anyway, (modes, last_will)))
            timers[0].daemon = True
            timers[0].start()
        end()

    before = {number: signal.signal(number, handle) for number in _SIGNALS}
    try:
        yield
    finally:
        for timer in timers:
            timer.cancel()
        for number, handler in before.items():
            signal.signal(number, handler)


def _terminal_modes() -> list[Any] | None:
    try:
        return termios.tcgetattr(sys.stdin.fileno())
    except (termios.error, OSError, ValueError):
        return None


def _end_anyway(modes: list[Any] | None, last_will: Callable[[], None]) -> None:
    try:
        last_will()
    finally:
        with suppress(termios.error, OSError):
            if modes is not None:
                termios.tcsetattr(sys.stdin.fileno(), termios.TCSANOW, modes)
            os.set_blocking(sys.stderr.fileno(), False)
            os.write(sys.stderr.fileno(), _LEAVE_SCREEN)
        os._exit(INTERRUPTED)
