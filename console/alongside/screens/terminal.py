"""The terminal: a driver that lives through the loss of it."""

import os
import select
import threading
import time
from codecs import getincrementaldecoder
from collections.abc import Callable
from typing import IO, Any, Final

from textual import constants, events
from textual._xterm_parser import XTermParser
from textual.drivers.linux_driver import LinuxDriver

from alongside.screens.pasted import Pasted

LOOKS_EVERY_S: Final = 0.1
"""How often the thread of the keys looks whether it is to end."""

PASTED_WITHIN_S: Final = 1.0
"""A paste whose end is not heard for so long has ended: keys must not vanish in it."""


class LastingFile:
    """A terminal to write to that may be gone: then what is written is dropped and `on_gone` called once.

    Textual's writer thread would die of the first failed write, and the app hang on its full queue."""

    def __init__(self, file: IO[str], on_gone: Callable[[], None]) -> None:
        self._file = file
        self._on_gone = on_gone
        self._gone = threading.Event()

    def write(self, text: str) -> int:
        return self._unless_gone(lambda: self._file.write(text))

    def flush(self) -> None:
        self._unless_gone(self._file.flush)

    def fileno(self) -> int:
        return self._file.fileno()

    def isatty(self) -> bool:
        return self._file.isatty()

    def _unless_gone(self, act: Callable[[], Any]) -> int:
        if not self._gone.is_set():
            try:
                return act() or 0
            except OSError:
                self._gone.set()
                self._on_gone()
        return 0


class TerminalDriver(LinuxDriver):
    """The driver of the console: as Textual's, but the end of the terminal ends the watch in order."""

    def __init__(self, app: Any, **options: Any) -> None:
        super().__init__(app, **options)
        self._file = LastingFile(self._file, self._gone)  # type: ignore[assignment,arg-type]

    def start_application_mode(self) -> None:
        super().start_application_mode()  # type: ignore[no-untyped-call]
        threading.Thread(target=self._wait_for_end_of_terminal, daemon=True).start()

    def _get_terminal_size(self) -> tuple[int, int]:
        """Return columns and rows as the terminal has them. Textual believes COLUMNS and LINES first: where a
        shell exports them, a window that changes would not be seen."""
        try:
            columns, rows = os.get_terminal_size(self.fileno)
        except OSError:
            columns = rows = 0
        return (columns, rows) if columns and rows else super()._get_terminal_size()

    def _enable_mouse_support(self) -> None:
        """Ask for presses and the wheel alone: moves would come by the hundred, and nothing hangs on one."""
        if self._mouse:
            self.write("\x1b[?1000h\x1b[?1006h")

    def _disable_mouse_support(self) -> None:
        if self._mouse:
            self.write("\x1b[?1006l\x1b[?1000l")

    def _enable_mouse_pixels(self) -> None:
        """Cells are enough."""

    def _wait_for_end_of_terminal(self) -> None:
        """A terminal that hangs up gives no keys and no error: Textual would read it for ever."""
        hang_up = select.poll()
        hang_up.register(self.fileno, 0)
        while not self.exit_event.is_set():
            if hang_up.poll(1000):
                self._gone()
                return

    def _gone(self) -> None:
        self._app.call_later(self._app.terminal_gone)  # type: ignore[attr-defined]

    def _sigcont_application(self, *_: object) -> None:
        """Resume only what was suspended. After a bare SIGSTOP Textual would start all anew: two threads then
        read the keys, in any order, and one waits for ever at the end."""
        if self._must_signal_resume:
            super()._sigcont_application()
        else:
            self._app.call_later(self._app.action_repaint)  # type: ignore[attr-defined]

    def run_input_thread(self) -> None:
        """Read keys until the end. Textual's own looks whether an Escape stood alone only every 0.1 s, and
        takes what is pasted behind an Escape for keys."""
        parser, decode = XTermParser(self._debug), getincrementaldecoder("utf-8")("replace").decode
        pasted, heard_at = Pasted(), time.monotonic()
        keys = select.poll()
        keys.register(self.fileno, select.POLLIN)
        while not self.exit_event.is_set():
            open_code = parser._timeout_time is not None
            if keys.poll((constants.ESCAPE_DELAY if open_code else LOOKS_EVERY_S) * 1000.0):
                data = os.read(self.fileno, 4096)
                if not data:
                    self._gone()
                    return
                heard_at = time.monotonic()
                self._hand_on(parser, pasted.feed(decode(data)))
            elif time.monotonic() - heard_at > PASTED_WITHIN_S:
                self._hand_on(parser, pasted.end())
            for event in parser.tick():
                self.process_message(event)

    def _hand_on(self, parser: XTermParser, pieces: list[tuple[str, bool]]) -> None:
        for text, is_paste in pieces:
            for event in [events.Paste(text)] if is_paste else parser.feed(text):
                self.process_message(event)

    def _run_input_thread(self) -> None:
        try:
            self.run_input_thread()
        except OSError:
            self._gone()
