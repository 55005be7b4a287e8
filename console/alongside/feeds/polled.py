"""Converters that speak only when asked: a prompt is sent, its answer read.

What goes on is the prompt, a blank, and the answer, so that answers of several converters on one wire are
told apart, live and in a log: `#01 >+12.345`. A sentence in answer stands alone. Where none comes in time it
is `#01 no answer`, which is counted as a fault.
"""

import time
from itertools import cycle
from math import inf
from typing import Any, Final

from alongside.feeds.inbox import Inbox
from alongside.feeds.network import TcpReader
from alongside.feeds.plain_lines import NO_ANSWER
from alongside.feeds.reader import READ_S, P, PortClosed, PortReader
from alongside.feeds.sentence import is_sentence
from alongside.feeds.serial import SerialReader
from alongside.stay.model import Poll
from alongside.stay.ports import SerialPort, TcpPort

PIECE: Final = 1 << 12


class PolledReader(PortReader[P]):
    """Sends the prompts in turn, one every `every_s`, each only after the answer to the one before or its
    time; what comes between belongs to no prompt and is dropped."""

    def __init__(self, port: P, feed: str, inbox: Inbox, poll: Poll, **more: Any) -> None:
        super().__init__(port, feed, inbox, **more)
        self._poll = poll
        self._prompts = cycle(poll.prompt)
        self._due = -inf
        self._answered = inf
        """When an answer came last; the first prompt begins it."""

    def _read(self) -> tuple[str, list[bytes]]:
        wait = self._due - time.monotonic()
        if wait > 0.0:
            time.sleep(min(wait, READ_S))
            return "", []
        now = time.monotonic()
        self._due = max(now, self._due + self._poll.every_s) if self._due > -inf else now + self._poll.every_s
        self._answered = min(self._answered, now)
        prompt = next(self._prompts).encode("latin-1")
        self._drop_waiting()
        self._cutter.clear()
        self._send(prompt)
        words = bytes(byte for byte in prompt if 32 < byte < 127)
        lines = self._answer(now + self._poll.answer_s)
        if lines:
            self._answered = time.monotonic()
        elif time.monotonic() - self._answered > self._silence_s:
            self._answered = inf
            raise PortClosed(f"open, but no answer for {self._silence_s:.0f} s")
        return "", [line if is_sentence(line) else words + b" " + line for line in lines or [NO_ANSWER]]

    def _answer(self, until: float) -> list[bytes]:
        """Return the lines of the answer, [] for none by then."""
        while (left := until - time.monotonic()) > 0.0:
            data = self._receive(min(left, self._wait_s) if self._cutter.rest else left)
            if lines := self._cutter.cut(data) if data else self._cutter.paused():
                return lines
        return self._cutter.paused()

    def _send(self, data: bytes) -> None:
        raise NotImplementedError

    def _receive(self, within: float) -> bytes:
        """Return what comes within so many seconds, b"" for nothing."""
        raise NotImplementedError

    def _drop_waiting(self) -> None:
        raise NotImplementedError


class PolledSerialReader(PolledReader[SerialPort], SerialReader):
    def _send(self, data: bytes) -> None:
        assert self._serial is not None
        self._serial.write(data)
        self._serial.flush()

    def _receive(self, within: float) -> bytes:
        assert self._serial is not None
        self._serial.timeout = within
        data: bytes = self._serial.read(1)
        return data + self._serial.read(self._serial.in_waiting) if data else b""

    def _drop_waiting(self) -> None:
        assert self._serial is not None
        self._serial.reset_input_buffer()


class PolledTcpReader(PolledReader[TcpPort], TcpReader):
    def _send(self, data: bytes) -> None:
        assert self._socket is not None
        self._socket.settimeout(READ_S)
        self._socket.sendall(data)

    def _receive(self, within: float) -> bytes:
        assert self._socket is not None
        self._socket.settimeout(within)
        try:
            data = self._socket.recv(PIECE)
        except TimeoutError:
            return b""
        if not data:
            raise PortClosed("the other end closed the connection")
        return data

    def _drop_waiting(self) -> None:
        assert self._socket is not None
        self._socket.setblocking(False)
        try:
            while data := self._socket.recv(PIECE):
                del data
        except BlockingIOError:
            return
        raise PortClosed("the other end closed the connection")
