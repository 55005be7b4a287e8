"""A command in a process of its own on a pseudo-terminal that is answered prompt by prompt."""

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
from functools import partial
from pathlib import Path
from types import MappingProxyType
from typing import Self

ROOT = Path(__file__).parents[2]
DEADLINE_S = 60.0


class Prompts:
    """`text` is all that was printed, `last` what was since the last answer."""

    def __init__(
        self,
        arguments: Sequence[str],
        size: tuple[int, int] = (100, 30),
        environment: Mapping[str, str] = MappingProxyType({}),
    ) -> None:
        self.master, slave = pty.openpty()
        columns, rows = size
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        self.text = ""
        self._answered = 0
        self.process = subprocess.Popen(
            [sys.executable, "-m", "alongside", *arguments],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            cwd=ROOT,
            # The size of this terminal counts, not that of the one that runs the tests.
            env={
                **os.environ,
                "TERM": "xterm-256color",
                "COLUMNS": str(columns),
                "LINES": str(rows),
                **environment,
            },
            start_new_session=True,
            preexec_fn=partial(fcntl.ioctl, slave, termios.TIOCSCTTY, 0),  # so that Ctrl-C is a signal
        )
        os.close(slave)

    @property
    def last(self) -> str:
        return self.text[self._answered :]

    def prompt(self) -> str:
        """Return the row that asks."""
        return self.text.splitlines()[-1]

    def write(self, text: str) -> None:
        os.write(self.master, text.encode())

    def answer(self, text: str) -> None:
        """Type an answer and wait for the next prompt, or for the end."""
        self._answered = len(self.text)
        self.write(f"{text}\n")
        self.until(lambda: self.last.count("\n") > 0 and (self.last.endswith("> ") or self._over()))

    def wait_for(self, text: str) -> None:
        self.until(lambda: text in self.text)

    def wait_for_prompt(self) -> None:
        self.until(lambda: self.text.endswith("> "))

    def ends(self) -> int:
        """Return the exit status once it has ended."""
        self.until(self._over)
        return self.process.wait()

    def _over(self) -> bool:
        return self.process.poll() is not None

    def until(self, condition: Callable[[], bool]) -> None:
        end = time.monotonic() + DEADLINE_S
        while not condition():
            assert time.monotonic() < end, self.text[-2000:]
            self._read()
        while self._over() and self._read():
            pass

    def _read(self) -> bool:
        if not select.select([self.master], [], [], 0.05)[0]:
            return False
        try:
            data = os.read(self.master, 65536)
        except OSError:  # the other end is closed
            return False
        self.text += data.decode("utf-8", "replace")
        self.took(data)
        return bool(data)

    def took(self, data: bytes) -> None:
        """Take what was printed."""

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        if not self._over():
            self.process.kill()
        self.process.wait()
        os.close(self.master)
