"""Feeds over the network: UDP datagrams (IEC 61162-450 as well) and TCP streams."""

import errno
import select
import socket
import struct
import sys
from ipaddress import ip_address
from typing import Any, Final

from alongside.feeds.reader import READ_S, PortClosed, PortReader
from alongside.stay.ports import TcpPort, UdpPort, is_interface

CONNECT_S: Final = 5.0
_DATAGRAM: Final = 65_535
_HEADER: Final = b"UdPbC\0"
"""Begins a datagram of IEC 61162-450; TAG block and sentence follow."""
_OTHER_HEADERS: Final = (b"RaUdP\0", b"RrUdP\0", b"RpUdP\0", b"NkPgN\0")
"""Begin datagrams of the same standard that bear no sentences: files, and messages of another bus."""
_UDP_BUFFER: Final = 1 << 20
CONNECTION_BUFFER: Final = 1 << 17
"""Bytes that may wait in the system. Small for TCP: what waits there longest is oldest when it is read."""
KEEPALIVE_S: Final = (("TCP_KEEPIDLE", 10), ("TCP_KEEPINTVL", 5), ("TCP_KEEPCNT", 3))
"""A peer that lost power is found out within 25 s."""

_LINUX: Final = sys.platform == "linux"
_IP_MULTICAST_ALL: Final = 49
_SO_RXQ_OVFL: Final = 40
"""Options of Linux that Python has no names for: groups joined by other programs are not heard; how many
datagrams the system dropped comes with the next."""


_AT_ONCE: Final = 64
"""Datagrams taken before what came is handed on."""


class UdpReader(PortReader[UdpPort]):
    """Every datagram is whole in itself: its last line needs no end. Nobody can be made to wait."""

    waits = False
    _socket: socket.socket | None = None
    _held: tuple[bytes, str] | None = None
    """A datagram of another sender, which comes next."""
    _overflow = 0

    def _name(self) -> str:
        group = f"{self.port.group}:" if self.port.group else ""
        return f"UDP port {group}{self.port.port}"

    def _open(self) -> None:
        port = self.port
        self._overflow = 0
        self._socket = opened = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
        opened.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, _UDP_BUFFER)
        if port.group:
            opened.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        if _LINUX:
            opened.setsockopt(socket.SOL_SOCKET, _SO_RXQ_OVFL, 1)
            opened.setsockopt(socket.IPPROTO_IP, _IP_MULTICAST_ALL, 0)
        address = _bound_to_interface(opened, port.on)
        # What is sent to a group does not come to an address of one's own.
        opened.bind(("" if port.group else address, port.port))
        if port.group:
            opened.setsockopt(socket.IPPROTO_IP, socket.IP_ADD_MEMBERSHIP, _membership(port, address))
        # Waited for by `_read` itself: with a timeout each datagram would be waited for in a call of its own.
        opened.setblocking(False)

    def _read(self) -> tuple[str, list[bytes]]:
        """Return the lines of what has come of one sender, at most `_AT_ONCE` datagrams."""
        assert self._socket is not None
        held, self._held = self._held, None
        if held is None and not select.select([self._socket], [], [], READ_S)[0]:
            return "", []
        begun, lines = "", []
        for _ in range(_AT_ONCE):
            try:
                data, sender = held or self._datagram(self._socket)
            except BlockingIOError:
                break
            held = None
            if begun and sender != begun:
                self._held = data, sender
                break
            wrong_sender = self.port.sender is not None and sender != self.port.sender
            if wrong_sender or data.startswith(_OTHER_HEADERS):
                self.others += 1
                continue
            begun = sender
            self._cutter.clear()
            lines += self._cutter.cut(data.removeprefix(_HEADER) + b"\n")
        return begun, lines

    def _datagram(self, opened: socket.socket) -> tuple[bytes, str]:
        """Return the next datagram and its sender; count those that the system dropped before it."""
        if not _LINUX:
            data, address = opened.recvfrom(_DATAGRAM)
            return data, address[0]
        data, notes, _, address = opened.recvmsg(_DATAGRAM, socket.CMSG_SPACE(4))
        for _, kind, value in notes:
            if kind == _SO_RXQ_OVFL:
                (overflow,) = struct.unpack("=I", value)
                self._lost += (overflow - self._overflow) & 0xFFFF_FFFF
                self._overflow = overflow
        return data, address[0]

    def _close(self) -> None:
        if self._socket is not None:
            self._socket.close()
            self._socket = None

    def _in_words(self, error: Exception) -> str:
        number = getattr(error, "errno", None)
        if number == errno.EADDRINUSE:
            return f"{self._name()} is in use by another program"
        return _about_place(self._name(), self.port.on, number) or super()._in_words(error)


class TcpReader(PortReader[TcpPort]):
    """Connects to a server, such as a box that puts serial lines on the network."""

    _socket: socket.socket | None = None

    def _name(self) -> str:
        return f"{self.port.host}:{self.port.port}"

    def _open(self) -> None:
        port = self.port
        problem: OSError = PortClosed(f"is not at {port.sender}")
        for family, kind, protocol, _, address in socket.getaddrinfo(
            port.host, port.port, type=socket.SOCK_STREAM
        ):
            if port.sender is not None and ip_address(address[0]) != ip_address(port.sender):
                continue
            self._socket = opened = socket.socket(family, kind, protocol)
            try:
                self._connect(opened, address)
            except OSError as error:
                problem = error
                self._close()
            else:
                return
        raise problem

    def _connect(self, opened: socket.socket, address: tuple[Any, ...]) -> None:
        opened.settimeout(CONNECT_S)
        opened.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, CONNECTION_BUFFER)
        own = _bound_to_interface(opened, self.port.on)
        if own:
            opened.bind((own, 0))
        opened.connect(address)
        keep_alive(opened)
        opened.settimeout(self._wait_s)

    def _read(self) -> tuple[str, list[bytes]]:
        assert self._socket is not None
        try:
            data = self._socket.recv(_DATAGRAM)
        except TimeoutError as error:
            if error.errno == errno.ETIMEDOUT:
                raise PortClosed("the other end is gone") from error
            return "", self._cutter.paused()
        if not data:
            raise PortClosed("the other end closed the connection")
        return "", self._cutter.cut(data)

    def _close(self) -> None:
        if self._socket is not None:
            self._socket.close()
            self._socket = None

    def _in_words(self, error: Exception) -> str:
        number = getattr(error, "errno", None)
        return _about_place(self._name(), self.port.on, number) or super()._in_words(error)


def keep_alive(opened: socket.socket) -> None:
    """Let the system find out when the other end of a connection is gone."""
    opened.setsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)
    for name, value in KEEPALIVE_S:
        if hasattr(socket, name):
            opened.setsockopt(socket.IPPROTO_TCP, getattr(socket, name), value)


def _bound_to_interface(opened: socket.socket, on: str | None) -> str:
    """Bind to an interface where `on` names one; return the address to bind to, "" for any."""
    if on is None or not is_interface(on):
        return on or ""
    if not hasattr(socket, "SO_BINDTODEVICE"):
        raise OSError(f"this system knows no interface by its name, expected on= an address: {on}")
    opened.setsockopt(socket.SOL_SOCKET, socket.SO_BINDTODEVICE, on.encode())
    return ""


def _membership(port: UdpPort, address: str) -> bytes:
    """Return what joins the group on its interface, as the system takes it."""
    assert port.group is not None
    group = socket.inet_aton(port.group)
    if port.on is not None and is_interface(port.on):
        return struct.pack("=4s4si", group, b"", socket.if_nametoindex(port.on))
    return group + socket.inet_aton(address or "0.0.0.0")


def _about_place(name: str, on: str | None, number: int | None) -> str:
    """Return what is wrong with `on=` in words; "" where something else is."""
    if on is not None and number in (errno.EADDRNOTAVAIL, errno.ENODEV, errno.ENXIO):
        return f"{name}: this computer has no {on}"
    return ""
