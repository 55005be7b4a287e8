"""Real ports: pseudo terminals, UDP and TCP on this machine."""

import math
import os
import socket
import sys
import threading
import time
import tty
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest

from alongside.errors import WrongInput
from alongside.feeds.inbox import FeedLine
from alongside.feeds.network import TcpReader, UdpReader
from alongside.feeds.ports import reader_of
from alongside.feeds.reader import PortReader
from alongside.feeds.serial import SerialReader
from alongside.runtime.worker import Worker
from alongside.stay.model import Feed, Source
from alongside.stay.ports import SerialPort, TcpPort, UdpPort
from tests.feeds.stays import tide

WAIT_S = 10.0


class Heard:
    """An inbox that collects what a reader puts, and waits for it."""

    def __init__(self) -> None:
        self.lines: list[bytes] = []
        self.feeds: set[str] = set()
        self.senders: list[str] = []
        self._reading: list[tuple[PortReader[Any], Worker[None]]] = []

    def has_room(self, within: float) -> bool:
        return True

    def put(self, lines: Iterable[FeedLine]) -> None:
        for at, feed, line, sender in lines:
            assert abs(at - time.time()) < WAIT_S
            self.feeds.add(feed)
            self.senders.append(sender)
            self.lines.append(line)

    def put_newest(self, lines: Iterable[FeedLine], lost_before: int = 0) -> None:
        self.put(lines)

    def __enter__(self) -> "Heard":
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()

    def start(self, reader: PortReader[Any]) -> None:
        worker: Worker[None] = Worker(
            reader.feed, lambda: reader.session(worker.stopping), lambda: reader.rest_s
        )
        self._reading.append((reader, worker))
        worker.start()

    def stop(self) -> None:
        for reader, worker in self._reading:
            worker.stop()
            assert not reader.status.open

    def until(self, done: Callable[[], bool]) -> None:
        end = time.monotonic() + WAIT_S
        while not done():
            assert time.monotonic() < end, (self.lines, [reader.status for reader, _ in self._reading])
            time.sleep(0.01)


@pytest.fixture
def heard() -> Iterator[Heard]:
    collected = Heard()
    yield collected
    collected.stop()


class Gauge:
    """A pseudo terminal that stands where the stay file expects the serial port."""

    def __init__(self, link: Path) -> None:
        self.master, slave = os.openpty()
        tty.setraw(slave)
        link.unlink(missing_ok=True)
        link.symlink_to(os.ttyname(slave))
        self._slave = slave

    def say(self, data: bytes) -> None:
        os.write(self.master, data)

    def unplug(self) -> None:
        os.close(self._slave)
        os.close(self.master)


def test_serial_port_with_unplug_and_plug(heard: Heard, tmp_path: Path) -> None:
    link = tmp_path / "ttyUSB0"
    gauge = Gauge(link)
    reader = SerialReader(SerialPort(str(link)), "gauges", heard, first_wait=0.05)
    heard.start(reader)
    heard.until(lambda: reader.status.open)
    for piece in (tide(1.0)[:9], tide(1.0)[9:] + b"\r", b"\n" + tide(2.0) + b"\n" + tide(3.0)[:11]):
        gauge.say(piece)
    heard.until(lambda: len(heard.lines) == 2)
    gauge.unplug()
    heard.until(lambda: "tried again in" in reader.status.note)
    link.unlink()
    heard.until(lambda: f"no such port {link}, tried again in" in reader.status.note)
    gauge = Gauge(link)
    heard.until(lambda: reader.status.open)
    gauge.say(tide(4.0) + b"\r\n")
    heard.until(lambda: len(heard.lines) == 3)
    assert heard.lines == [tide(1.0), tide(2.0), tide(4.0)]
    assert heard.feeds == {"gauges"}


def test_a_serial_port_is_opened_by_one_only(heard: Heard, tmp_path: Path) -> None:
    link = tmp_path / "ttyUSB0"
    Gauge(link)
    first, second = (SerialReader(SerialPort(str(link)), name, heard, first_wait=0.05) for name in "ab")
    heard.start(first)
    heard.until(lambda: first.status.open)
    heard.start(second)
    heard.until(lambda: "in use by another program, tried again in" in second.status.note)


def never() -> bool:
    return False


def test_waits_grow_to_half_a_minute(heard: Heard, tmp_path: Path) -> None:
    reader = SerialReader(SerialPort(str(tmp_path / "none")), "gauges", heard)
    waits = []
    for _ in range(8):
        reader.session(never)
        waits.append(reader.rest_s)
    assert waits == [1.0, 2.0, 4.0, 8.0, 16.0, 30.0, 30.0, 30.0]
    assert "tried again in 30 s" in reader.status.note


def test_a_port_that_spoke_is_tried_again_soon(heard: Heard) -> None:
    """A connection that drops now and then would else be left alone for half a minute each time."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
    reader = TcpReader(TcpPort("127.0.0.1", port), "box", heard)
    for _ in range(6):
        reader.session(never)
    assert reader.rest_s == 30.0
    with socket.create_server(("127.0.0.1", port)) as server:
        for speaks, rest in ((True, 1.0), (False, 2.0), (False, 4.0), (True, 1.0)):
            taker = threading.Thread(target=answer, args=(server, tide(1.0) + b"\r\n" if speaks else b""))
            taker.start()
            reader.session(never)
            taker.join()
            assert reader.rest_s == rest
    assert len(heard.lines) == 2


def answer(server: socket.socket, text: bytes) -> None:
    connection, _ = server.accept()
    with connection:
        connection.sendall(text)


@pytest.mark.parametrize(
    "error", [OSError(5, "gone"), TypeError("fd"), ValueError("speed"), KeyError("driver")]
)
def test_whatever_a_driver_raises_is_shown_and_tried_again(
    heard: Heard, tmp_path: Path, error: Exception, monkeypatch: pytest.MonkeyPatch
) -> None:
    link = tmp_path / "ttyUSB0"
    Gauge(link)
    reader = SerialReader(SerialPort(str(link)), "gauges", heard, first_wait=0.02)
    tries: list[int] = []

    def fail() -> list[bytes]:
        tries.append(1)
        raise error

    monkeypatch.setattr(reader, "_read", fail)
    heard.start(reader)
    heard.until(lambda: len(tries) >= 2)
    heard.until(lambda: "is lost or fails" in reader.status.note)


def free_port(kind: int) -> int:
    with socket.socket(socket.AF_INET, kind) as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def test_udp_datagrams_plain_and_of_iec_61162_450(heard: Heard) -> None:
    port = free_port(socket.SOCK_DGRAM)
    reader = UdpReader(UdpPort(port), "net", heard)
    heard.start(reader)
    heard.until(lambda: reader.status.open)
    tagged = rb"\s:WI0001,n:23*08\$WIMWV,214.8,R,12.3,N,A*1C"
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender:
        for datagram in (tide(1.0) + b"\r\n" + tide(2.0), b"UdPbC\0" + tagged + b"\r\n"):
            sender.sendto(datagram, ("127.0.0.1", port))
    heard.until(lambda: len(heard.lines) == 3)
    assert heard.lines == [tide(1.0), tide(2.0), tagged]


def test_udp_port_in_use(heard: Heard) -> None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as other:
        other.bind(("", 0))
        port = other.getsockname()[1]
        reader = UdpReader(UdpPort(port), "net", heard, first_wait=0.05)
        heard.start(reader)
        heard.until(lambda: f"UDP port {port} is in use" in reader.status.note)
    heard.until(lambda: reader.status.open)


def test_udp_multicast_group_is_joined(heard: Heard) -> None:
    port = free_port(socket.SOCK_DGRAM)
    reader = UdpReader(UdpPort(port, "239.192.0.4"), "net", heard, first_wait=0.05)
    heard.start(reader)
    time.sleep(0.2)
    if not reader.status.open:
        assert "239.192.0.4" in reader.status.note
        pytest.skip("no network here that multicasts")
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender:
        sender.sendto(tide(1.0), ("127.0.0.1", port))
    heard.until(lambda: heard.lines == [tide(1.0)])


def test_tcp_with_the_other_end_closing_and_coming_back(heard: Heard) -> None:
    port = free_port(socket.SOCK_STREAM)
    reader = TcpReader(TcpPort("127.0.0.1", port), "box", heard, first_wait=0.05)
    heard.start(reader)
    heard.until(lambda: "connection refused, tried again in" in reader.status.note)
    with socket.create_server(("127.0.0.1", port)) as server:
        for value in (1.0, 2.0):
            connection, _ = server.accept()
            with connection:
                heard.until(lambda: reader.status.open)
                connection.sendall(tide(value) + b"\r\n$WLXDR,D,2.")
                heard.until(lambda value=value: tide(value) in heard.lines)  # type: ignore[misc]
            heard.until(
                lambda: "closed the connection, tried again in" in reader.status.note or reader.status.open
            )
    assert heard.lines == [tide(1.0), tide(2.0)]


def test_the_reader_of_a_feed(heard: Heard) -> None:
    assert isinstance(reader_of(Feed("a", "serial:/dev/ttyUSB0", ()), heard), SerialReader)
    assert isinstance(reader_of(Feed("a", "udp:10110", ()), heard), UdpReader)
    assert isinstance(reader_of(Feed("a", "tcp:host:4001", ()), heard), TcpReader)
    with pytest.raises(WrongInput, match=r"feeds\.a\.port: 'usb' is not a port, expected"):
        reader_of(Feed("a", "usb", ()), heard)


LOOPBACK = pytest.mark.skipif(
    sys.platform != "linux", reason="all of 127.0.0.0/8 is this computer on Linux only"
)


def say(address: str, to: tuple[str, int], *lines: bytes) -> None:
    """Send datagrams from an address of this computer."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender:
        sender.bind((address, 0))
        for line in lines:
            sender.sendto(line, to)


@LOOPBACK
def test_udp_hears_all_interfaces_and_says_who_sent() -> None:
    with Heard() as heard:
        port = free_port(socket.SOCK_DGRAM)
        reader = UdpReader(UdpPort(port), "net", heard)
        heard.start(reader)
        heard.until(lambda: reader.status.open)
        for k in (2, 3, 4):
            say(f"127.0.0.{k}", (f"127.0.0.{k + 10}", port), tide(k))
            heard.until(lambda k=k: tide(k) in heard.lines)  # type: ignore[misc]
        assert heard.senders == ["127.0.0.2", "127.0.0.3", "127.0.0.4"]


@LOOPBACK
def test_udp_from_one_sender_only() -> None:
    with Heard() as heard:
        port = free_port(socket.SOCK_DGRAM)
        reader = UdpReader(UdpPort(port, sender="127.0.0.3"), "net", heard)
        heard.start(reader)
        heard.until(lambda: reader.status.open)
        say("127.0.0.2", ("127.0.0.1", port), *[tide(9.0)] * 5)
        say("127.0.0.3", ("127.0.0.1", port), tide(2.0))
        heard.until(lambda: heard.lines == [tide(2.0)])
        assert reader.others == 5


@LOOPBACK
@pytest.mark.parametrize("group", [None, "239.192.0.4"])
def test_udp_on_one_address_or_interface(group: str | None) -> None:
    with Heard() as heard:
        port = free_port(socket.SOCK_DGRAM)
        by_address = UdpReader(UdpPort(port, group, on="127.0.0.5"), "address", heard, first_wait=0.05)
        heard.start(by_address)
        heard.until(lambda: by_address.status.open or "tried again" in by_address.status.note)
        if group and not by_address.status.open:
            pytest.skip("no network here that multicasts")
        say("127.0.0.2", ("127.0.0.5", port), tide(2.0))
        heard.until(lambda: heard.lines == [tide(2.0)])
        if group is None:
            say("127.0.0.2", ("127.0.0.6", port), tide(9.0))
            say("127.0.0.2", ("127.0.0.5", port), tide(3.0))
            heard.until(lambda: heard.lines == [tide(2.0), tide(3.0)])


@LOOPBACK
def test_udp_on_an_interface_by_name() -> None:
    with Heard() as heard:
        port = free_port(socket.SOCK_DGRAM)
        reader = UdpReader(UdpPort(port, on="lo"), "net", heard, first_wait=0.05)
        heard.start(reader)
        heard.until(lambda: reader.status.open)
        say("127.0.0.2", ("127.0.0.9", port), tide(2.0))
        heard.until(lambda: heard.lines == [tide(2.0)])


@pytest.mark.parametrize("on", ["203.0.113.77", "nosuch0"])
@pytest.mark.parametrize("kind", [UdpReader, TcpReader])
def test_a_place_that_this_computer_has_not_is_said(kind: type[PortReader[Any]], on: str) -> None:
    with Heard() as heard, socket.create_server(("127.0.0.1", 0)) as server:
        number = server.getsockname()[1]
        port = UdpPort(number, on=on) if kind is UdpReader else TcpPort("127.0.0.1", number, on=on)
        reader = kind(port, "net", heard, first_wait=0.05)
        heard.start(reader)
        heard.until(lambda: f"this computer has no {on}, tried again in" in reader.status.note)


@LOOPBACK
def test_tcp_from_an_address_of_its_own_and_to_the_one_that_is_named() -> None:
    with Heard() as heard, socket.create_server(("127.0.0.1", 0)) as server:
        number = server.getsockname()[1]
        right = TcpReader(TcpPort("localhost", number, "127.0.0.1", "127.0.0.4"), "box", heard)
        heard.start(right)
        connection, (peer, _) = server.accept()
        with connection:
            assert peer == "127.0.0.4"
            connection.sendall(tide(2.0) + b"\r\n")
            heard.until(lambda: heard.lines == [tide(2.0)])
        wrong = TcpReader(TcpPort("127.0.0.1", number, "127.0.0.9"), "box", heard)
        heard.start(wrong)
        heard.until(lambda: f"127.0.0.1:{number}: is not at 127.0.0.9, tried again in" in wrong.status.note)


def test_a_connection_on_which_nothing_comes_is_opened_anew() -> None:
    """A box that lost power knows nothing of the connection; to this end it looks open for hours."""
    with Heard() as heard, socket.create_server(("127.0.0.1", 0)) as server:
        port = TcpPort("127.0.0.1", server.getsockname()[1])
        reader = TcpReader(port, "box", heard, first_wait=0.05, silence_s=0.6)
        heard.start(reader)
        silent, _ = server.accept()
        silent.sendall(tide(1.0) + b"\r\n")
        heard.until(lambda: "but silent for" in reader.status.note or reader.status.note == "")
        server.settimeout(WAIT_S)
        again, _ = server.accept()
        with silent, again:
            again.sendall(tide(2.0) + b"\r\n")
            heard.until(lambda: heard.lines == [tide(1.0), tide(2.0)])


def test_a_connection_that_never_speaks_is_tried_less_and_less_often(heard: Heard) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = TcpPort("127.0.0.1", server.getsockname()[1])
        reader = TcpReader(port, "box", heard, silence_s=0.0)
        waits = []
        for _ in range(3):
            reader.session(never)
            waits.append(reader.rest_s)
    assert waits == [1.0, 2.0, 4.0]
    assert "open, but silent for 0 s, tried again in 4 s" in reader.status.note


@LOOPBACK
def test_a_peer_that_lost_power_is_found_out_within_half_a_minute(heard: Heard) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        reader = TcpReader(TcpPort("127.0.0.1", server.getsockname()[1]), "box", heard)
        reader._open()
        opened = reader._socket
        assert opened is not None
        assert opened.getsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE) == 1
        idle, every, count = (
            opened.getsockopt(socket.IPPROTO_TCP, option)
            for option in (socket.TCP_KEEPIDLE, socket.TCP_KEEPINTVL, socket.TCP_KEEPCNT)
        )
        assert idle + every * count <= 30
        reader._close()


def test_a_feed_is_given_as_long_as_its_first_channel_may_be_silent(heard: Heard) -> None:
    sources = (Source("tide", "XDR", names=("TIDE",), lost_s=300.0), Source("wind_speed", "MWV", lost_s=60.0))
    assert reader_of(Feed("a", "tcp:host:4001", sources), heard)._silence_s == 60.0
    assert reader_of(Feed("a", "tcp:host:4001", ()), heard)._silence_s == 300.0
    assert reader_of(Feed("a", "udp:10110", sources), heard)._silence_s == math.inf
