"""Instruments that dial in: real connections to a port of our own, on loopback."""

import socket
import sys
import time
from collections.abc import Iterator

import pytest

from alongside.feeds.callers import CallersReader
from alongside.feeds.ports import reader_of
from alongside.stay.model import Feed, Source
from alongside.stay.ports import CallersPort
from tests.feeds.stays import tide
from tests.feeds.test_readers import LOOPBACK, Heard, free_port


@pytest.fixture
def heard() -> Iterator[Heard]:
    with Heard() as collected:
        yield collected


def listening(
    heard: Heard, sender: str | None = None, callers: int = 8, silence_s: float = 60.0
) -> CallersReader:
    port = CallersPort(free_port(socket.SOCK_STREAM), "127.0.0.1", sender, callers)
    reader = CallersReader(port, "gauges", heard, first_wait=0.05, silence_s=silence_s)
    heard.start(reader)
    heard.until(lambda: reader.status.open)
    return reader


def dial(reader: CallersReader, own: str = "127.0.0.1") -> socket.socket:
    to = (reader.port.address, reader.port.port)
    return socket.create_connection(to, timeout=5.0, source_address=(own, 0))


@LOOPBACK
def test_lines_of_several_callers_are_kept_apart(heard: Heard) -> None:
    """Halves of lines come in turn; none is put together with another caller's."""
    reader = listening(heard)
    with dial(reader, "127.0.0.2") as a, dial(reader, "127.0.0.3") as b:
        for call, piece in ((a, tide(1.0)[:9]), (b, tide(2.0)[:7]), (a, tide(1.0)[9:] + b"\r\n")):
            call.sendall(piece)
            time.sleep(0.05)
        b.sendall(tide(2.0)[7:] + b"\n" + tide(3.0) + b"\n")
        heard.until(lambda: len(heard.lines) == 3)
        assert sorted(reader.callers) == ["127.0.0.2", "127.0.0.3"]
    assert heard.lines == [tide(1.0), tide(2.0), tide(3.0)]
    assert heard.senders == ["127.0.0.2", "127.0.0.3", "127.0.0.3"]


def test_a_caller_that_left_makes_room_and_the_port_stays_open(heard: Heard) -> None:
    reader = listening(heard, callers=1)
    for value in (1.0, 2.0):
        with dial(reader) as call:
            call.sendall(tide(value) + b"\r\n$WLXDR,D,9.")
            heard.until(lambda value=value: tide(value) in heard.lines)  # type: ignore[misc]
        heard.until(lambda: not reader.callers)
        assert reader.status.open
    assert heard.lines == [tide(1.0), tide(2.0)]
    assert reader.others == 0


def ended(call: socket.socket) -> bool:
    """Return whether the other end ends the call, within five seconds."""
    try:
        return call.recv(1) == b""
    except ConnectionError:
        return True


def test_more_than_may_call_at_a_time_are_refused(heard: Heard) -> None:
    reader = listening(heard, callers=1)
    with dial(reader) as first:
        heard.until(lambda: len(reader.callers) == 1)
        with dial(reader) as second:
            assert ended(second)
        assert reader.others == 1
        first.sendall(tide(1.0) + b"\n")
        heard.until(lambda: heard.lines == [tide(1.0)])


@LOOPBACK
def test_calls_of_one_sender_only(heard: Heard) -> None:
    reader = listening(heard, sender="127.0.0.3")
    with dial(reader, "127.0.0.2") as wrong, dial(reader, "127.0.0.3") as right:
        assert ended(wrong)
        right.sendall(tide(2.0) + b"\n")
        heard.until(lambda: heard.lines == [tide(2.0)])
    assert reader.others == 1


def test_a_silent_call_is_ended(heard: Heard) -> None:
    """A box that lost power would else keep its place for ever."""
    reader = listening(heard, silence_s=0.3)
    with dial(reader) as call:
        assert ended(call)
    assert reader.others == 0


def test_a_port_in_use_and_an_address_that_is_not_ours(heard: Heard) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        number = other.getsockname()[1]
        reader = CallersReader(CallersPort(number), "gauges", heard, first_wait=0.05)
        heard.start(reader)
        heard.until(
            lambda: f"calls to 127.0.0.1:{number}: the port is in use by another" in reader.status.note
        )
    heard.until(lambda: reader.status.open)
    away = CallersReader(CallersPort(number, "203.0.113.77"), "gauges", heard, first_wait=0.05)
    heard.start(away)
    heard.until(lambda: "this computer has no 203.0.113.77, tried again in" in away.status.note)


@pytest.mark.skipif(sys.platform == "win32", reason="a port there can be listened to twice")
def test_opened_again_at_once_after_its_callers_were_cut_off(heard: Heard) -> None:
    reader = listening(heard)
    number = reader.port.port
    with dial(reader) as call:
        heard.until(lambda: len(reader.callers) == 1)
        heard.stop()
        assert ended(call)
    again = CallersReader(CallersPort(number), "gauges", heard, first_wait=0.05)
    again._open()
    again._close()


def test_a_call_may_be_silent_as_long_as_its_last_channel(heard: Heard) -> None:
    sources = (Source("tide", "XDR", names=("TIDE",), lost_s=300.0), Source("wind_speed", "MWV", lost_s=60.0))
    reader = reader_of(Feed("a", "tcp-in:4001", sources), heard)
    assert isinstance(reader, CallersReader)
    assert reader._caller_silence_s == 300.0
