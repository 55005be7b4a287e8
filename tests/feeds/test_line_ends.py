"""Gauges that end their lines by something else than CR or LF, and ports that are opened in the midst of a
line: real pseudo terminals and connections."""

import os
import socket
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.feeds.lines import LineCutter
from alongside.feeds.polled import PolledSerialReader
from alongside.feeds.ports import reader_of
from alongside.feeds.reader import PAUSE_S
from alongside.feeds.serial import SerialReader
from alongside.reports.why_silent import why_nothing_comes
from alongside.stay.model import Feed, Poll
from alongside.stay.ports import SerialPort
from tests.feeds.stays import tide
from tests.feeds.test_polled import Converter
from tests.feeds.test_readers import Gauge, Heard


@pytest.fixture
def heard() -> Iterator[Heard]:
    with Heard() as collected:
        yield collected


def opened(heard: Heard, link: Path, settings: str) -> Gauge:
    gauge = Gauge(link)
    reader = reader_of(Feed("box", f"serial:{link}{settings}", ()), heard)
    heard.start(reader)
    heard.until(lambda: reader.status.open)
    time.sleep(1.5 * PAUSE_S)  # a line that follows a pause is whole
    return gauge


def test_lines_end_by_etx_or_another_byte(heard: Heard, tmp_path: Path) -> None:
    gauge = opened(heard, tmp_path / "tty", "?end=etx")
    gauge.say(b"\x022.45\x03\x022.")
    gauge.say(b"46\x03\x022.47\x03")
    heard.until(lambda: len(heard.lines) == 3)
    assert heard.lines == [b"\x022.45", b"\x022.46", b"\x022.47"]


def test_a_pause_ends_a_line_where_the_port_says_so(heard: Heard, tmp_path: Path) -> None:
    gauge = opened(heard, tmp_path / "tty", "?end=pause")
    for text in (b"2.45", b"2.46 m", b"2.47\r\n"):
        gauge.say(text)
        time.sleep(3 * PAUSE_S)
    heard.until(lambda: len(heard.lines) == 3)
    assert heard.lines == [b"2.45", b"2.46 m", b"2.47"]


def test_a_pause_ends_no_line_otherwise(heard: Heard, tmp_path: Path) -> None:
    gauge = opened(heard, tmp_path / "tty", "")
    gauge.say(b"2.")
    time.sleep(8 * PAUSE_S)
    gauge.say(b"45\r\n")
    heard.until(lambda: bool(heard.lines))
    assert heard.lines == [b"2.45"]


def test_a_connection_whose_lines_end_by_a_pause(heard: Heard) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = f"tcp:127.0.0.1:{server.getsockname()[1]}?end=pause"
        heard.start(reader_of(Feed("box", port, ()), heard))
        box, _ = server.accept()
        with box:
            for text in (b"2.45", b"2.46"):
                box.sendall(text)
                time.sleep(3 * PAUSE_S)
            heard.until(lambda: heard.lines == [b"2.45", b"2.46"])


def test_an_answer_without_an_end(heard: Heard) -> None:
    master, slave = os.openpty()
    converter = Converter(master, lambda prompt: b">+%s.5" % prompt[2:])
    poll = Poll(("#01\r", "#02\r"), every_s=0.3, answer_s=0.25)
    heard.start(PolledSerialReader(SerialPort(os.ttyname(slave), end="pause"), "mA", heard, poll))
    heard.until(lambda: len(heard.lines) >= 4)
    heard.stop()
    converter.stop()
    assert heard.lines[:4] == [b"#01 >+1.5", b"#02 >+2.5"] * 2


def test_the_rest_of_a_line_that_was_on_its_way_is_left_out(heard: Heard, tmp_path: Path) -> None:
    """45 of 2.45 is in the range of a tide gauge in feet: it must not be the first value."""
    gauge = Gauge(tmp_path / "tty")
    reader = SerialReader(SerialPort(str(tmp_path / "tty")), "box", heard)
    reader._open()
    gauge.say(b"45\r\n2.46\r\n")
    assert reader._read()[1] + reader._read()[1] == [b"2.46"]
    reader._close()


@pytest.mark.parametrize("line", [tide(2.45), b"\x022.45", b"\\s:box*00\\2.45"])
def test_what_begins_as_a_line_is_whole(heard: Heard, tmp_path: Path, line: bytes) -> None:
    gauge = Gauge(tmp_path / "tty")
    reader = SerialReader(SerialPort(str(tmp_path / "tty")), "box", heard)
    reader._open()
    gauge.say(line + b"\r\n")
    assert reader._read()[1] == [line]
    reader._close()


@given(st.lists(st.binary(max_size=12), max_size=8))
def test_in_whatever_pieces_it_comes_a_line_is_the_same(pieces: list[bytes]) -> None:
    whole, cut = LineCutter(end="3B"), LineCutter(end="3B")
    data = b"".join(pieces)
    lines = [line for piece in pieces for line in cut.cut(piece)]
    assert lines == whole.cut(data)
    assert cut.rest == whole.rest
    assert not any(set(line) & set(b"\r\n;") for line in lines)
    assert cut.paused() == []


def test_what_is_to_be_done_is_said() -> None:
    feed = Feed("box", "serial:/dev/ttyUSB0", ())
    assert "name the port with end=etx" in why_nothing_comes(feed, 12, b"\x022.45\x03\x022.46")
    assert "'2.452.46': where that is no line cut short" in why_nothing_comes(feed, 8, b"2.452.46")
    assert "end=" not in why_nothing_comes(feed, 9, b"\x81\x82\xff\x90")
