"""The console on a real terminal: mouse reports as SGR bytes, windows that change size, keys in pieces."""

import fcntl
import os
import signal
import struct
import termios
from collections.abc import Iterator

import pytest

from tests.screens.terminal import PROGRAM, OnTerminal, Terminal

SHRINKS = [(120, 30), (60, 18), (80, 24), (200, 60), (40, 10), (132, 43), (80, 24)]


@pytest.fixture
def terminal() -> Iterator[Terminal]:
    opened = Terminal("flood", size=(120, 30))
    opened.wait_for(lambda: opened.shows("▸1 Now") and opened.shows("to acknowledge"))
    yield opened
    opened.close()


def mouse(terminal: Terminal, button: int, x: int, y: int) -> None:
    """Press and let go of a button (64: wheel up, 65: wheel down) at a cell counted from 0."""
    at = f"{button};{x + 1};{y + 1}"
    terminal.type(f"\x1b[<{at}M" + ("" if button >= 64 else f"\x1b[<{at}m"))


def press_on(terminal: Terminal, text: str) -> None:
    """Press the first button on some words of the screen."""
    row = next(y for y, shown in enumerate(terminal.screen.display) if text in shown)
    mouse(terminal, 0, terminal.screen.display[row].index(text) + 1, row)


def resized(terminal: OnTerminal, columns: int, rows: int) -> None:
    """Change the size as a window does: the modes of the terminal, then the signal."""
    terminal.screen.resize(rows, columns)
    fcntl.ioctl(terminal.master, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
    terminal.process.send_signal(signal.SIGWINCH)


@pytest.mark.slow
def test_the_mouse_turns_pages_parts_and_rows(terminal: Terminal) -> None:
    press_on(terminal, "3 Wind")
    terminal.wait_for(lambda: terminal.shows("▸3 Wind"))
    press_on(terminal, "5 Log")
    terminal.wait_for(lambda: terminal.shows("▸Alerts"))
    press_on(terminal, "Hand-over")
    terminal.wait_for(lambda: terminal.shows("▸Hand-over") and terminal.shows("rows 1 to"))
    before = list(terminal.screen.display)
    row = len(before) // 2
    mouse(terminal, 65, 40, row)
    terminal.wait_for(lambda: terminal.screen.display[row] != before[row])
    mouse(terminal, 64, 40, row)
    terminal.wait_for(lambda: terminal.screen.display[row] == before[row])


@pytest.mark.slow
def test_m_gives_the_mouse_back_to_the_terminal(terminal: Terminal) -> None:
    assert terminal.output.rfind(b"\x1b[?1000h") > terminal.output.rfind(b"\x1b[?1000l")
    terminal.type("M")
    terminal.wait_for(lambda: terminal.output.rfind(b"\x1b[?1000l") > terminal.output.rfind(b"\x1b[?1000h"))
    terminal.type("M")
    terminal.wait_for(lambda: terminal.output.rfind(b"\x1b[?1000h") > terminal.output.rfind(b"\x1b[?1000l"))


@pytest.mark.slow
def test_windows_may_change_their_size_at_any_time(terminal: Terminal) -> None:
    for columns, rows in SHRINKS:
        resized(terminal, columns, rows)
        terminal.wait_for(lambda rows=rows: terminal.screen.display[rows - 1].strip() != "" or rows < 20)  # type: ignore[misc]
        terminal.wait_for(lambda: "1 Now" in terminal.screen.display[0])
    assert not terminal.shows("fault")
    assert not terminal.ended()


@pytest.mark.slow
def test_a_window_that_goes_small_and_comes_back_is_drawn_anew(terminal: Terminal) -> None:
    """Both changes are over before the console hears of the first: it sees the size that it had."""
    before = [row[:60] for row in terminal.screen.display[:4]]
    terminal.screen.reset()
    resized(terminal, 120, 30)
    terminal.wait_for(lambda: [row[:60] for row in terminal.screen.display[:4]] == before)


@pytest.mark.slow
def test_the_window_is_believed_before_what_a_shell_exports() -> None:
    command = ["-c", PROGRAM.format(scene="flood", palette="day")]
    shown = OnTerminal(command, (120, 30), environment={"COLUMNS": "80", "LINES": "24"})
    try:
        shown.wait_for(lambda: shown.shows("▸1 Now") and shown.screen.display[29].strip() != "")
        resized(shown, 132, 43)
        shown.wait_for(lambda: shown.screen.display[42].strip() != "")
    finally:
        shown.close()


@pytest.mark.slow
def test_a_form_keeps_its_text_when_the_window_changes(terminal: Terminal) -> None:
    terminal.type("w")
    terminal.wait_for(lambda: terminal.shows("Enter"))
    terminal.type("ladder rigged")
    terminal.wait_for(lambda: terminal.shows("ladder rigged"))
    for columns, rows in ((80, 24), (120, 30)):
        resized(terminal, columns, rows)
        terminal.wait_for(lambda: terminal.shows("ladder rigged") and "1 Now" in terminal.screen.display[0])
    terminal.type("\r")
    terminal.wait_for(lambda: terminal.shows("Kept") or terminal.shows("kept"))


@pytest.mark.slow
def test_bytes_of_a_key_may_come_one_by_one(terminal: Terminal) -> None:
    """Over a bad link a sequence comes in pieces; a lone Escape still leads home."""
    terminal.type("5")
    terminal.wait_for(lambda: terminal.shows("▸Alerts"))
    for byte in b"\x1b[B":
        os.write(terminal.master, bytes([byte]))
    terminal.read(0.3)
    assert terminal.shows("▸Alerts")
    terminal.type("\x1b")
    terminal.wait_for(lambda: terminal.shows("▸1 Now"))
