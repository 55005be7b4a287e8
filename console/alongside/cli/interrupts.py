"""How a command ends by a signal: as by Ctrl-C, so that what it was writing is taken away."""

import signal
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from types import FrameType
from typing import Final

from alongside.cli.standard_output import print_aside

_SIGNALS: Final = tuple(getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name))


@contextmanager
def interrupted_by_signals() -> Iterator[None]:
    """While within, the first SIGTERM or SIGHUP raises KeyboardInterrupt; later ones wait for its end. One
    that was ignored stays so (`nohup`)."""
    heeded = [number for number in _SIGNALS if signal.getsignal(number) == signal.SIG_DFL]

    def interrupt(_number: int, _frame: FrameType | None) -> None:
        for number in heeded:
            signal.signal(number, signal.SIG_IGN)
        raise KeyboardInterrupt

    with suppress(ValueError):  # only the main thread may: another is no command of its own
        for number in heeded:
            signal.signal(number, interrupt)
    try:
        yield
    finally:
        with suppress(ValueError):
            for number in heeded:
                signal.signal(number, signal.SIG_DFL)


@contextmanager
def said_when_interrupted() -> Iterator[None]:
    """Say in one row that a command was interrupted whose files take their places whole at its end."""
    try:
        yield
    except KeyboardInterrupt:
        print_aside("Interrupted: no file is half written")
        raise
