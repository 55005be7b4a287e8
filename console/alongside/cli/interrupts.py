"""How a command ends by a signal: as by Ctrl-C, so that what it was writing is taken away."""

import signal
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from types import FrameType
from typing import Final

from alongside.cli.standard_output import print_aside

_SIGNALS: Final = tuple(getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name))


_asked = False
"""Whether somebody has pressed Ctrl-C while a command ran."""


def end_if_asked() -> None:
    """Raise KeyboardInterrupt where Ctrl-C was pressed and the work went on all the same: compiled code that
    looks for an attribute drops whatever is raised meanwhile. Work that shows how far it is asks each
    time."""
    if _asked:
        raise KeyboardInterrupt


def _interrupt(_number: int, _frame: FrameType | None) -> None:
    global _asked
    _asked = True
    raise KeyboardInterrupt


@contextmanager
def _ctrl_c_is_kept() -> Iterator[None]:
    global _asked
    kept = signal.getsignal(signal.SIGINT) is signal.default_int_handler
    with suppress(ValueError):  # only the main thread may
        if kept:
            signal.signal(signal.SIGINT, _interrupt)
    try:
        yield
    finally:
        _asked = False
        with suppress(ValueError):
            if kept and signal.getsignal(signal.SIGINT) is _interrupt:
                signal.signal(signal.SIGINT, signal.default_int_handler)


@contextmanager
def interrupted_by_signals() -> Iterator[None]:
    """While within, the first SIGTERM or SIGHUP raises KeyboardInterrupt; later ones wait for its end. One
    that was ignored stays so (`nohup`). A Ctrl-C is kept for `end_if_asked`."""
    with _ctrl_c_is_kept(), _ended_by_others():
        yield


@contextmanager
def _ended_by_others() -> Iterator[None]:
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
def said_when_interrupted(more: str = "") -> Iterator[None]:
    """Say in one row that a command was interrupted whose files take their places whole at its end, and what
    `more` there is to say."""
    try:
        yield
    except KeyboardInterrupt:
        print_aside(f"Interrupted: no file is half written{more}")
        raise
