"""A TCP port of our own, into which instruments dial."""

import errno
import selectors
import socket
import time
from collections.abc import Callable
from ipaddress import ip_address
from typing import Final

from alongside.feeds.inbox import Inbox
from alongside.feeds.lines import LineCutter
from alongside.feeds.network import CONNECTION_BUFFER, keep_alive
from alongside.feeds.reader import FIRST_WAIT_S, READ_S, PortReader
from alongside.stay.ports import CallersPort

PIECE: Final = 1 << 16
"""Bytes read at a time from one caller."""


class CallersReader(PortReader[CallersPort]):
    """Takes calls, as many at a time as the port says, and reads all of them; each line bears the address of
    its caller. Of more, and of any that `from=` does not name, the call is ended at once, and counted. A
    caller that leaves, or that is silent for `silence_s`, makes room for the next; the port stays open."""

    def __init__(
        self,
        port: CallersPort,
        feed: str,
        inbox: Inbox,
        wall: Callable[[], float] = time.time,
        first_wait: float = FIRST_WAIT_S,
        silence_s: float = float("inf"),
    ) -> None:
        super().__init__(port, feed, inbox, wall, first_wait)
        self._caller_silence_s = silence_s
        self._selector: selectors.BaseSelector | None = None
        self._server: socket.socket | None = None
        self._callers: dict[socket.socket, _Caller] = {}

    def _name(self) -> str:
        return f"calls to {self.port.address}:{self.port.port}"

    def _open(self) -> None:
        family = socket.AF_INET6 if ip_address(self.port.address).version == 6 else socket.AF_INET
        self._selector = selectors.DefaultSelector()
        self._server = server = socket.create_server((self.port.address, self.port.port), family=family)
        server.setblocking(False)
        self._selector.register(server, selectors.EVENT_READ)

    @property
    def callers(self) -> list[str]:
        """Return the addresses of those that are connected."""
        return [caller.address for caller in list(self._callers.values())]

    def _read(self) -> tuple[str, list[bytes]]:
        assert self._selector is not None
        for key, _ in self._selector.select(READ_S):
            opened = key.fileobj
            assert isinstance(opened, socket.socket)
            if opened is self._server:
                self._answer()
            elif lines := self._hear(opened):
                return self._callers_address(opened), lines
        self._end_silent()
        return "", []

    def _answer(self) -> None:
        """Take a call, or refuse it."""
        assert self._server is not None
        assert self._selector is not None
        try:
            call, (address, *_) = self._server.accept()
        except (BlockingIOError, ConnectionError):
            return
        sender = self.port.sender
        if len(self._callers) >= self.port.callers or (sender is not None and address != sender):
            self.others += 1
            call.close()
            return
        call.setblocking(False)
        call.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, CONNECTION_BUFFER)
        keep_alive(call)
        self._callers[call] = _Caller(str(address))
        self._selector.register(call, selectors.EVENT_READ)

    def _callers_address(self, call: socket.socket) -> str:
        return self._callers[call].address

    def _hear(self, call: socket.socket) -> list[bytes]:
        """Return the lines of one caller; its call is ended where it left."""
        caller = self._callers[call]
        try:
            data = call.recv(PIECE)
        except BlockingIOError:
            return []
        except OSError:
            data = b""
        if not data:
            self._end(call)
            return []
        caller.newest = time.monotonic()
        self._cutter.bytes += len(data)
        return caller.cutter.cut(data)

    def _end_silent(self) -> None:
        now = time.monotonic()
        for call, caller in list(self._callers.items()):
            if now - caller.newest > self._caller_silence_s:
                self._end(call)

    def _end(self, call: socket.socket) -> None:
        assert self._selector is not None
        self._selector.unregister(call)
        del self._callers[call]
        call.close()

    def _close(self) -> None:
        for opened in (*self._callers, *([self._server] if self._server else [])):
            opened.close()
        self._callers, self._server = {}, None
        if self._selector is not None:
            self._selector.close()
            self._selector = None

    def _in_words(self, error: Exception) -> str:
        number = getattr(error, "errno", None)
        if number == errno.EADDRINUSE:
            return f"{self._name()}: the port is in use by another program"
        if number in (errno.EADDRNOTAVAIL, errno.ENODEV):
            return f"{self._name()}: this computer has no {self.port.address}"
        if number in (errno.EACCES, errno.EPERM):
            return f"{self._name()}: no permission, expected a port from 1024 on"
        return super()._in_words(error)


class _Caller:
    """Who is connected, the rest of a line of his, and when he was heard last."""

    def __init__(self, address: str) -> None:
        self.address = address
        self.cutter = LineCutter()
        self.newest = time.monotonic()
