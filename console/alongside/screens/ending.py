"""How the console ends by a signal: SIGTERM, SIGHUP, SIGINT.

The handlers end the app in order, so that the terminal is restored and all that was shown is written. A
terminal that takes no more output can hold up the app for ever; then, after a grace, the terminal's modes
are put back and the process ends from a thread of its own.
"""

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from types import FrameType
from typing import Final

INTERRUPTED: Final = 130
GRACE_S: Final = 5.0
_SIGNALS: Final = tuple(
    getattr(signal, name) for name in ("SIGTERM", "SIGHUP", "SIGINT") if hasattr(signal, name)
)
"""Those that this system has."""
_LEAVE_SCREEN: Final = b"\x1b[?1049l\x1b[?25h\x1b[?1004l\x1b[?2004l\x1b[?7h\x1b[0m"


@contextmanager
def ended_by_signals(end: Callable[[], None], stop: Callable[[], None]) -> Iterator[None]:
    """While within, each signal calls `end` (from the main thread, at any moment); if the process still
    runs `GRACE_S` later, `stop` is called and it ends with status 130."""
    put_back = _terminal_modes()
    timers: list[threading.Timer] = []

    def handle(_number: int, _frame: FrameType | None) -> None:
        if not timers:
            timers.append(threading.Timer(GRACE_S, _end_anyway, (put_back, stop)))
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


def _terminal_modes() -> Callable[[], None]:
    """Return what puts the terminal back into the modes it has now; does nothing where there is none, or no
    POSIX."""
    try:
        import termios
    except ImportError:
        return lambda: None
    try:
        modes = termios.tcgetattr(sys.stdin.fileno())
    except (termios.error, OSError, ValueError):
        return lambda: None

    def put_back() -> None:
        with suppress(termios.error, OSError, ValueError):
            termios.tcsetattr(sys.stdin.fileno(), termios.TCSANOW, modes)

    return put_back


def _end_anyway(put_back: Callable[[], None], stop: Callable[[], None]) -> None:
    try:
        stop()
    finally:
        put_back()
        with suppress(OSError, ValueError, AttributeError):  # not every system can set it
            os.set_blocking(sys.stderr.fileno(), False)
            os.write(sys.stderr.fileno(), _LEAVE_SCREEN)
        os._exit(INTERRUPTED)
