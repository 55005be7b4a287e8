"""Runs the console on the terminal."""

from textual.driver import Driver

from alongside.runtime.desk import Desk
from alongside.screens.app import ConsoleApp
from alongside.screens.ending import INTERRUPTED, ended_by_signals
from alongside.stay.model import Stay


def run_console(desk: Desk, stay: Stay, palette: str = "day") -> int:
    """Run the console on the terminal until the watch ends it; return the exit status of the process.

    Raise what kept the desk from starting. The desk is stopped in every case.
    """
    app = ConsoleApp(desk, stay, palette, driver=_driver())
    with ended_by_signals(app.interrupt, desk.stop):
        try:
            app.run(mouse=False)
        finally:
            desk.stop()
    if app.failure is not None:
        raise app.failure
    return INTERRUPTED if app.interrupted else (app.return_code or 0)


def _driver() -> type[Driver] | None:
    """Return our driver where there is a POSIX terminal; None, for Textual's own choice, elsewhere."""
    try:
        from alongside.screens.terminal import TerminalDriver
    except ImportError:
        return None
    return TerminalDriver
