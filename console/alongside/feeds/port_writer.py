"""Ports that are written to: one kind a class, none of which waits for longer than a second."""

import select
import socket
import time
from abc import ABC, abstractmethod
from contextlib import suppress
from ipaddress import IPv4Address
from typing import TYPE_CHECKING, Final

from alongside.feeds.serial import in_words as serial_words
from alongside.feeds.serial import opened
from alongside.stay.out_ports import OutPort, TcpListen, TcpTo, UdpTo
from alongside.stay.ports import SerialPort, is_interface

if TYPE_CHECKING:
    import serial

WRITE_S: Final = 1.0
"""A port that takes nothing for so long is full: it is closed, and opened anew."""
CONNECT_S: Final = 5.0
LOOK_S: Final = 0.01
_READ: Final = 65_535
MOST_CLIENTS: Final = 16
"""That are connected at once to a port that waits for them."""


class PortWriter(ABC):
    """A port that is open from `open` until `close`. Whatever goes wrong raises; `in_words` says what."""

    @abstractmethod
    def open(self) -> None:
        """Open the port, or raise."""

    @abstractmethod
    def write(self, data: bytes) -> None:
        """Send all of `data`, or raise."""

    def read(self) -> bytes:
        """Return what came from the other end without waiting, b"" for nothing."""
        return b""

    def flush(self) -> None:  # noqa: B027 - most kinds have nothing to wait for
        """Wait until all that was written is out, where the system says so."""

    @abstractmethod
    def close(self) -> None:
        """Close; what was not out yet is given up."""

    def in_words(self, error: Exception) -> str:
        """Return what is wrong, in words for the watch."""
        if isinstance(error, TimeoutError):
            return f"{self.name} takes nothing"
        if isinstance(error, OSError) and error.strerror:
            return f"{self.name}: {error.strerror.lower()}"
        return f"{self.name}: {error}"

    name: str
    """The port as the watch knows it."""
    in_datagrams = False
    """Each line goes out by itself."""


def writer_of(port: OutPort, wait_s: float | None = WRITE_S) -> PortWriter:
    """Return a writer, its port not opened yet. A port that takes nothing for `wait_s` fails; None: what is
    to go out waits for as long as it takes."""
    if isinstance(port, SerialPort):
        return SerialWriter(port, wait_s)
    if isinstance(port, UdpTo):
        return UdpWriter(port)
    return TcpWriter(port, wait_s) if isinstance(port, TcpTo) else TcpListener(port)


class SerialWriter(PortWriter):
    """A serial port that nobody else may have open at the same time."""

    def __init__(self, port: SerialPort, wait_s: float | None) -> None:
        self.name = port.device
        self._port = port
        self._wait_s = wait_s
        self._serial: serial.Serial | None = None

    def open(self) -> None:
        self._serial = opened(self._port, timeout=0.0, write_timeout=self._wait_s)

    def write(self, data: bytes) -> None:
        import serial

        assert self._serial is not None
        try:
            self._serial.write(data)
        except serial.SerialTimeoutException as error:
            raise TimeoutError from error

    def read(self) -> bytes:
        assert self._serial is not None
        return bytes(self._serial.read(_READ))

    def flush(self) -> None:
        assert self._serial is not None
        self._serial.flush()

    def close(self) -> None:
        if self._serial is not None:
            port, self._serial = self._serial, None
            with suppress(Exception):  # of a device that is gone already
                if not _is_out(port):
                    port.reset_output_buffer()  # else closing one that takes nothing waits for it
            port.close()

    def in_words(self, error: Exception) -> str:
        if isinstance(error, TimeoutError):
            return super().in_words(error)
        return serial_words(self._port.device, error)


def _is_out(port: "serial.Serial") -> bool:
    """Return whether all that was written to a serial port is out, within `WRITE_S`: so that its last line is
    a whole one."""
    until = time.monotonic() + WRITE_S
    while port.out_waiting:
        if time.monotonic() > until:
            return False
        time.sleep(LOOK_S)
    return True


class UdpWriter(PortWriter):
    """Each message is a datagram. Nobody is known to have heard it."""

    in_datagrams = True

    def __init__(self, port: UdpTo) -> None:
        self.name = f"UDP {port.address}:{port.port}"
        self._port = port
        self._socket: socket.socket | None = None

    def open(self) -> None:
        self._socket = opened = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
        opened.setsockopt(socket.SOL_SOCKET, socket.SO_BROADCAST, 1)
        on = self._port.on
        if on is not None and is_interface(on):
            if not hasattr(socket, "SO_BINDTODEVICE"):
                raise OSError(f"this system knows no interface by its name, expected on= an address: {on}")
            opened.setsockopt(socket.SOL_SOCKET, socket.SO_BINDTODEVICE, on.encode())
        elif on is not None:
            opened.bind((on, 0))
            if IPv4Address(self._port.address).is_multicast:
                opened.setsockopt(socket.IPPROTO_IP, socket.IP_MULTICAST_IF, socket.inet_aton(on))
        opened.settimeout(WRITE_S)

    def write(self, data: bytes) -> None:
        assert self._socket is not None
        self._socket.sendto(data, (self._port.address, self._port.port))

    def close(self) -> None:
        if self._socket is not None:
            self._socket.close()
            self._socket = None


class TcpWriter(PortWriter):
    """Connects to a server."""

    def __init__(self, port: TcpTo, wait_s: float | None) -> None:
        self.name = f"{port.host}:{port.port}"
        self._port = port
        self._wait_s = wait_s
        self._socket: socket.socket | None = None

    def open(self) -> None:
        self._socket = socket.create_connection((self._port.host, self._port.port), CONNECT_S)
        self._socket.settimeout(self._wait_s)

    def write(self, data: bytes) -> None:
        assert self._socket is not None
        self._socket.sendall(data)

    def read(self) -> bytes:
        assert self._socket is not None
        ready, _, _ = select.select([self._socket], [], [], 0.0)
        if not ready:
            return b""
        data = self._socket.recv(_READ)
        if not data:
            raise ConnectionError("the other end closed the connection")
        return data

    def close(self) -> None:
        if self._socket is not None:
            self._socket.close()
            self._socket = None


class TcpListener(PortWriter):
    """Waits for others to connect, and sends to all who have; one who takes nothing is let go."""

    def __init__(self, port: TcpListen) -> None:
        self.name = f"TCP port {port.port}"
        self._port = port
        self._socket: socket.socket | None = None
        self._clients: list[socket.socket] = []

    @property
    def clients(self) -> int:
        """Return how many are connected now."""
        self._welcome()
        return len(self._clients)

    def open(self) -> None:
        family = socket.AF_INET6 if ":" in self._port.address else socket.AF_INET
        self._socket = socket.create_server((self._port.address, self._port.port), family=family)
        self._socket.setblocking(False)

    def write(self, data: bytes) -> None:
        self._welcome()
        for client in tuple(self._clients):
            try:
                client.sendall(data)
            except OSError:
                client.close()
                self._clients.remove(client)

    def close(self) -> None:
        for each in (self._socket, *self._clients):
            if each is not None:
                each.close()
        self._socket, self._clients = None, []

    def _welcome(self) -> None:
        while self._socket is not None and len(self._clients) < MOST_CLIENTS:
            try:
                client, _ = self._socket.accept()
            except BlockingIOError:
                return
            client.settimeout(WRITE_S)
            self._clients.append(client)
