"""Runs the console on the terminal."""

from pathlib import Path

from textual.driver import Driver

from alongside.reports.new_stay.entry import Entry
from alongside.runtime.desk import Desk
from alongside.runtime.freed_memory import share_one_heap
from alongside.screens.app import ConsoleApp
from alongside.screens.ending import INTERRUPTED, ended_by_signals
from alongside.screens.escape_key import wait_for_escape
from alongside.screens.new_stay_app import NewStayApp
from alongside.screens.terminal_letters import NOTICE, environment_at_start, has_plain_letters_only
from alongside.stay.model import Stay


def run_console(
    desk: Desk, stay: Stay, palette: str = "day", plain_letters: bool | None = None, *, mouse: bool = True
) -> int:
    """Run the console on the terminal until the watch ends it; return the exit status of the process. Letters
    are plain where asked for, and where nothing is asked but the terminal has no others: then it is said.

    Raise what kept the desk from starting. The desk is stopped in every case.
    """
    share_one_heap()
    plain, notice = _letters(plain_letters)
    wait_for_escape(environment_at_start())
    app = ConsoleApp(desk, stay, palette, driver=_driver(), plain_letters=plain, notice=notice)
    with ended_by_signals(app.interrupt, desk.stop):
        try:
            app.run(mouse=mouse)
        finally:
            desk.stop()
    if app.failure is not None:
        raise app.failure
    return INTERRUPTED if app.interrupted else (app.return_code or 0)


def run_new_stay(
    stay: Path, entry: Entry, palette: str = "day", plain_letters: bool | None = None
) -> tuple[int, bool]:
    """Run the form of a new stay file; return the exit status, and whether the files were written."""
    app = NewStayApp(stay, entry, palette, driver=_driver(), plain_letters=_letters(plain_letters)[0])
    with ended_by_signals(app.interrupt, lambda: None):
        app.run(mouse=False)
    if app.failure is not None:
        raise app.failure
    return INTERRUPTED if app.interrupted else (app.return_code or 0), app.written


def _letters(asked: bool | None) -> tuple[bool, str]:
    """Return whether letters are plain, and what is said of it at the start."""
    if asked is not None:
        return asked, ""
    plain = has_plain_letters_only(environment_at_start())
    return plain, NOTICE if plain else ""


def _driver() -> type[Driver] | None:
    """Return our driver where there is a POSIX terminal; None, for Textual's own choice, elsewhere."""
    try:
        from alongside.screens.terminal import TerminalDriver
    except ImportError:
        return None
    return TerminalDriver
