"""How a command ends by a signal: as by Ctrl-C, in one sentence, and what it was writing is taken away."""

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from types import FrameType
from typing import TYPE_CHECKING, Final

from alongside.cli.start import SAID, end_at_once

if TYPE_CHECKING:
    from sys import UnraisableHookArgs  # a type of the type checker alone

ANEW_S: Final = 0.02
"""After so long an interrupt that got lost is raised anew, out of what lost it."""
_SIGNALS: Final = tuple(getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name))


class Interrupted(KeyboardInterrupt):
    """Raised where a command is interrupted. A kind of its own: of a plain KeyboardInterrupt in code that is
    made from text, as of a dataclass, Python remembers that nobody heeded it, and ends by the signal."""

    def __init__(self, words: str = SAID) -> None:
        """`words`: what is then said of it, in one row; "" where all is said already."""
        super().__init__(words)
        self.words = words


def words_of(error: BaseException | None) -> str | None:
    """Return what is to be said where an interrupt is behind an error; None where none is. What makes classes
    makes an error of its own of one."""
    seen: set[int] = set()
    while error is not None and id(error) not in seen:
        if isinstance(error, KeyboardInterrupt):
            return error.words if isinstance(error, Interrupted) else SAID
        seen.add(id(error))
        error = error.__cause__ or error.__context__
    return None


_asked = False
"""Whether somebody has pressed Ctrl-C while a command ran."""


def end_if_asked() -> None:
    """Raise Interrupted where Ctrl-C was pressed and the work went on all the same: compiled code that
    looks for an attribute drops whatever is raised meanwhile. Work that shows how far it is asks each
    time."""
    if _asked:
        raise Interrupted


def _interrupt(_number: int, _frame: FrameType | None) -> None:
    global _asked
    _asked = True
    raise Interrupted


@contextmanager
def _ctrl_c_is_kept() -> Iterator[None]:
    global _asked
    before = signal.getsignal(signal.SIGINT)
    kept = before in (signal.default_int_handler, end_at_once)
    with suppress(ValueError):  # only the main thread may
        if kept:
            signal.signal(signal.SIGINT, _interrupt)
    try:
        yield
    finally:
        _asked = False
        with suppress(ValueError):
            if kept and signal.getsignal(signal.SIGINT) is _interrupt:
                signal.signal(signal.SIGINT, before)


@contextmanager
def interrupted_by_signals() -> Iterator[None]:
    """While within, Ctrl-C and the first SIGTERM or SIGHUP raise Interrupted; later ones of these two wait
    for its end. One that was ignored stays so (`nohup`). A Ctrl-C is kept for `end_if_asked`, and raised anew
    where it got lost in what Python calls by itself."""
    with _ctrl_c_is_kept(), _ended_by_others(), _raised_anew():
        yield


@contextmanager
def _ended_by_others() -> Iterator[None]:
    heeded = {
        number: before
        for number in _SIGNALS
        if (before := signal.getsignal(number)) in (signal.SIG_DFL, end_at_once)
    }

    def interrupt(_number: int, _frame: FrameType | None) -> None:
        for number in heeded:
            signal.signal(number, signal.SIG_IGN)
        raise Interrupted

    with suppress(ValueError):  # only the main thread may: another is no command of its own
        for number in heeded:
            signal.signal(number, interrupt)
    try:
        yield
    finally:
        with suppress(ValueError):
            for number, before in heeded.items():
                signal.signal(number, before)


@contextmanager
def _raised_anew() -> Iterator[None]:
    before = sys.unraisablehook

    def again(what: "UnraisableHookArgs") -> None:
        if not isinstance(what.exc_value, Interrupted):
            before(what)
        elif hasattr(signal, "setitimer"):  # not on Windows: there it is pressed again
            signal.signal(signal.SIGALRM, _interrupt)
            signal.setitimer(signal.ITIMER_REAL, ANEW_S)

    sys.unraisablehook = again
    try:
        yield
    finally:
        sys.unraisablehook = before


@contextmanager
def said_when_interrupted(more: str) -> Iterator[None]:
    """Let what is said of an interrupt have `more` behind it."""
    try:
        yield
    except KeyboardInterrupt:
        raise Interrupted(f"{SAID}{more}") from None
