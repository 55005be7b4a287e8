"""The console in a real process on a pseudo-terminal, its screen as pyte understands it."""

import fcntl
import os
import pty
import select
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import pyte

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
if status == 0:
    print("did", desk.actions, desk.controls)
sys.exit(status)
"""
DEADLINE_S = 60.0


class OnTerminal:
    """A Python process on a pseudo-terminal of some columns and rows: the arguments of its interpreter, where
    it runs, and what its environment has beside ours."""

    def __init__(
        self,
        arguments: Sequence[str],
        size: tuple[int, int] = (80, 24),
        folder: Path = ROOT,
        environment: Mapping[str, str] | None = None,
    ) -> None:
        columns, rows = size
        self.master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        self.slave = slave
        self.modes = termios.tcgetattr(slave)
        self.screen = pyte.Screen(columns, rows)
        self.stream = pyte.ByteStream(self.screen)
        self.output = b""
        self.process = subprocess.Popen(
            [sys.executable, *arguments],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            cwd=folder,
            env={**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor", **(environment or {})},
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

    def type(self, keys: str) -> None:
        """Write keys as one burst."""
        os.write(self.master, keys.encode())

    def ended(self) -> bool:
        return self.process.poll() is not None

    def close(self) -> None:
        if not self.ended():
            self.process.kill()
        self.process.wait()
        for end in (self.master, self.slave):
            if end >= 0:
                os.close(end)


class Terminal(OnTerminal):
    """The console with an invented scene. Once ended it has written what was done."""

    def __init__(
        self, scene: str = "one_warning", palette: str = "day", size: tuple[int, int] = (80, 24)
    ) -> None:
        super().__init__(["-c", PROGRAM.format(scene=scene, palette=palette)], size)
