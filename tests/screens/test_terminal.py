"""The console in a real process on a real terminal: it starts, obeys keys, ends in order and leaves the
terminal as it found it."""

import os
import signal
import termios
import time
from collections.abc import Iterator

import pytest

from alongside.screens.sound import PATTERNS
from alongside.stay.stage import Stage
from tests.screens.terminal import DEADLINE_S, Terminal


@pytest.fixture
def terminal() -> Iterator[Terminal]:
    opened = Terminal()
    yield opened
    opened.close()


def is_restored(terminal: Terminal) -> bool:
    left, shown = terminal.output.rfind(b"\x1b[?1049l"), terminal.output.rfind(b"\x1b[?25h")
    return left > 0 and shown > 0 and termios.tcgetattr(terminal.slave) == terminal.modes


@pytest.mark.slow
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_a_signal_ends_it_in_order(terminal: Terminal, number: int) -> None:
    terminal.wait_for(lambda: terminal.shows("Slack B1"))
    terminal.process.send_signal(number)
    terminal.wait_for(terminal.ended)
    terminal.read()
    assert terminal.process.returncode == 130
    assert is_restored(terminal)


@pytest.mark.slow
def test_an_alarm_rings_the_bell(terminal: Terminal) -> None:
    terminal.wait_for(lambda: terminal.output.count(b"\x07") >= len(PATTERNS[Stage.ALARM]))


@pytest.mark.slow
def test_keys_work_and_quitting_gives_status_0(terminal: Terminal) -> None:
    terminal.wait_for(lambda: terminal.shows("Slack B1"))
    os.write(terminal.master, b"q")
    terminal.wait_for(lambda: terminal.shows("End the watch?"))
    os.write(terminal.master, b"y")
    terminal.wait_for(terminal.ended)
    terminal.read()
    assert terminal.process.returncode == 0
    assert is_restored(terminal)


@pytest.mark.slow
def test_a_terminal_that_goes_away_ends_it(terminal: Terminal) -> None:
    """Both ends closed, as when a connection drops: no signal reaches a process without a controlling
    terminal, only failing writes tell."""
    terminal.wait_for(lambda: terminal.shows("Slack B1"))
    os.close(terminal.slave)
    os.close(terminal.master)
    terminal.master = terminal.slave = -1
    assert terminal.process.wait(DEADLINE_S) == 130


@pytest.mark.slow
def test_a_terminal_that_takes_no_output_cannot_hold_it_up() -> None:
    """Nobody reads the other end; the process must end all the same after its grace."""
    stuck = Terminal("flood")
    try:
        stuck.wait_for(lambda: stuck.shows("ALARM"))
        stuck.process.send_signal(signal.SIGSTOP)
        stuck.process.send_signal(signal.SIGCONT)
        for _ in range(300):
            os.write(stuck.master, b"cvhl")
        time.sleep(1.0)
        stuck.process.send_signal(signal.SIGTERM)
        assert stuck.process.wait(DEADLINE_S) == 130
        assert termios.tcgetattr(stuck.slave) == stuck.modes
    finally:
        stuck.close()


@pytest.mark.slow
def test_plain_sends_no_true_colour() -> None:
    plain = Terminal("flood", "plain")
    try:
        plain.wait_for(lambda: plain.shows("ALARM"))
        plain.read(0.5)
        assert b"38;2;" not in plain.output
        assert b"48;2;" not in plain.output
        assert b"38;5;" not in plain.output
    finally:
        plain.close()
