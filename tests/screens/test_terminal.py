"""The console in a real process on a real terminal: it starts, obeys keys, ends in order and leaves the
terminal as it found it."""

import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pyte
import pytest

from alongside.screens.sound import PATTERNS
from alongside.stay.stage import Stage

ROOT = Path(__file__).parents[2]
PROGRAM = """
import sys
from dataclasses import replace
from alongside.stay.stage import Stage
from alongside.screens import ending
from alongside.screens.run import run_console
from tests.screens.invented import FakeDesk, {scene}, invented_stay
ending.GRACE_S = 1.0
desk = FakeDesk(replace({scene}(), sound=Stage.ALARM))
status = run_console(desk, invented_stay(), "{palette}")
assert desk.stopped
sys.exit(status)
"""
DEADLINE_S = 20.0


class Terminal:
    """A process on a pseudo-terminal of 80 x 24, its screen as pyte understands it."""

    def __init__(self, scene: str = "one_warning", palette: str = "day") -> None:
        self.master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.slave = slave
        self.modes = termios.tcgetattr(slave)
        self.screen = pyte.Screen(80, 24)
        self.stream = pyte.ByteStream(self.screen)
        self.output = b""
        self.process = subprocess.Popen(
            [sys.executable, "-c", PROGRAM.format(scene=scene, palette=palette)],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            cwd=ROOT,
            env={**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor"},
            start_new_session=True,
        )

    def read(self, seconds: float = 0.1) -> None:
        if select.select([self.master], [], [], seconds)[0]:
            data = os.read(self.master, 65536)
            self.output += data
            # pyte does not know the private modes and key protocols that begin with these.
            self.stream.feed(data.replace(b"\x1b[>", b"\x1b[?").replace(b"\x1b[<u", b""))

    def wait_for(self, condition: Callable[[], bool]) -> None:
        end = time.monotonic() + DEADLINE_S
        while not condition():
            assert time.monotonic() < end, "\n".join(self.screen.display)
            self.read()

    def shows(self, text: str) -> bool:
        return any(text in row for row in self.screen.display)

    def ended(self) -> bool:
        return self.process.poll() is not None

    def close(self) -> None:
        if not self.ended():
            self.process.kill()
        self.process.wait()
        for end in (self.master, self.slave):
            if end >= 0:
                os.close(end)


@pytest.fixture
def terminal() -> Iterator[Terminal]:
    opened = Terminal()
    yield opened
    opened.close()


def is_restored(terminal: Terminal) -> bool:
    left, shown = terminal.output.rfind(b"\x1b[?1049l"), terminal.output.rfind(b"\x1b[?25h")
    return left > 0 and shown > 0 and termios.tcgetattr(terminal.slave) == terminal.modes


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_a_signal_ends_it_in_order(terminal: Terminal, number: int) -> None:
    terminal.wait_for(lambda: terminal.shows("Slack B1"))
    terminal.process.send_signal(number)
    terminal.wait_for(terminal.ended)
    terminal.read()
    assert terminal.process.returncode == 130
    assert is_restored(terminal)


def test_an_alarm_rings_the_bell(terminal: Terminal) -> None:
    terminal.wait_for(lambda: terminal.output.count(b"\x07") >= len(PATTERNS[Stage.ALARM]))


def test_keys_work_and_quitting_gives_status_0(terminal: Terminal) -> None:
    terminal.wait_for(lambda: terminal.shows("Slack B1"))
    os.write(terminal.master, b"q")
    terminal.wait_for(lambda: terminal.shows("End the watch?"))
    os.write(terminal.master, b"y")
    terminal.wait_for(terminal.ended)
    terminal.read()
    assert terminal.process.returncode == 0
    assert is_restored(terminal)


def test_a_terminal_that_goes_away_ends_it(terminal: Terminal) -> None:
    """Both ends closed, as when a connection drops: no signal reaches a process without a controlling
    terminal, only failing writes tell."""
    terminal.wait_for(lambda: terminal.shows("Slack B1"))
    os.close(terminal.slave)
    os.close(terminal.master)
    terminal.master = terminal.slave = -1
    assert terminal.process.wait(DEADLINE_S) == 130


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
