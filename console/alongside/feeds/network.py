"""Feeds over the network: UDP datagrams (IEC 61162-450 as well) and TCP streams."""

import errno
import socket
import struct
from typing import Final

from alongside.feeds.reader import PortClosed, PortReader
from alongside.stay.ports import TcpPort, UdpPort

READ_S: Final = 0.5
CONNECT_S: Final = 5.0
_DATAGRAM: Final = 65_535
_HEADER: Final = b"UdPbC\0"
"""Begins a datagram of IEC 61162-450; TAG block and sentence follow."""


class UdpReader(PortReader[UdpPort]):
    """Every datagram is whole in itself: its last line needs no end."""

    _socket: socket.socket | None = None

    def _name(self) -> str:
        group = f"{self.port.group}:" if self.port.group else ""
        return f"UDP port {group}{self.port.port}"

    def _open(self) -> None:
        self._socket = opened = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
        if self.port.group:
            opened.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        opened.bind(("", self.port.port))
        if self.port.group:
            membership = struct.pack("=4sl", socket.inet_aton(self.port.group), socket.INADDR_ANY)
            opened.setsockopt(socket.IPPROTO_IP, socket.IP_ADD_MEMBERSHIP, membership)
        opened.settimeout(READ_S)

    def _read(self) -> list[bytes]:
        assert self._socket is not None
        try:
            data = self._socket.recv(_DATAGRAM)
        except TimeoutError:
            return []
        self._cutter.clear()
        return self._cutter.cut(data.removeprefix(_HEADER) + b"\n")

    def _close(self) -> None:
        if self._socket is not None:
            self._socket.close()
            self._socket = None

    def _in_words(self, error: Exception) -> str:
        if getattr(error, "errno", None) == errno.EADDRINUSE:
            return f"{self._name()} is in use by another program"
        return super()._in_words(error)


class TcpReader(PortReader[TcpPort]):
    """Connects to a server, such as a box that puts serial lines on the network."""

    _socket: socket.socket | None = None

    def _name(self) -> str:
        return f"{self.port.host}:{self.port.port}"

    def _open(self) -> None:
        self._socket = socket.create_connection((self.port.host, self.port.port), CONNECT_S)
        self._socket.setsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)
        self._socket.settimeout(READ_S)

    def _read(self) -> list[bytes]:
        assert self._socket is not None
        try:
            data = self._socket.recv(_DATAGRAM)
        except TimeoutError:
            return []
        if not data:
            raise PortClosed("the other end closed the connection")
        return self._cutter.cut(data)

    def _close(self) -> None:
        if self._socket is not None:
            self._socket.close()
            self._socket = None
