"""Registers read from the library's own server, over a real socket and a real pseudo terminal: answers that
come, come late, are refused, or do not come; a device that dies and comes back."""

import re
import socket
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Final

import pytest

from alongside.feeds.modbus import ModbusSerialReader, ModbusTcpReader
from alongside.feeds.ports import reader_of
from alongside.stay.model import Feed, Poll
from alongside.stay.ports import parse_port
from tests.feeds.devices import Device, words_of
from tests.feeds.test_readers import Heard, free_port
from tests.feeds.test_registers import CHANNELS, modbus_stay

PYMODBUS: Final = pytest.importorskip("pymodbus")
INPUTS: Final = [*words_of("f", 2.5), 700, 65521]
HOLDING: Final = [*[0] * 7, 12000]
READ: Final = {"tide": [2.5], "draught_fwd": [700.0], "draught_aft": [12000.0], "heel": [-15.0]}


@pytest.fixture
def heard() -> Iterator[Heard]:
    with Heard() as collected:
        yield collected


@pytest.fixture
def feed(tmp_path: Path) -> Feed:
    (feed,) = modbus_stay(tmp_path, CHANNELS).feeds
    return replace(feed, poll=Poll((), every_s=0.1, answer_s=0.2))


def device() -> Device:
    return Device(1, 2, inputs=INPUTS, holding=HOLDING)


def figures(heard: Heard) -> dict[str, list[float]]:
    """Return the figures of each channel, as they stand on record, each once."""
    found: dict[str, list[float]] = {}
    for line in heard.lines:
        if match := re.match(rb"\$IIXDR,G,([-0-9.]+),,([a-z_]+),", line):
            values = found.setdefault(match[2].decode(), [])
            values += [] if float(match[1]) in values else [float(match[1])]
    return found


def reading(
    heard: Heard, feed: Feed, port: str, silence_s: float = 60.0
) -> ModbusTcpReader | ModbusSerialReader:
    reader = reader_of(replace(feed, port=port), heard)
    assert isinstance(reader, ModbusTcpReader | ModbusSerialReader)
    reader._first_wait = reader.rest_s = 0.05
    reader._silence_s = silence_s
    heard.start(reader)
    return reader


def test_over_the_network(heard: Heard, feed: Feed) -> None:
    port, plc = free_port(socket.SOCK_STREAM), device()
    with plc.on_network(port):
        reading(heard, feed, f"modbus:127.0.0.1:{port}")
        heard.until(lambda: len(heard.lines) >= 12)
        heard.stop()
    assert figures(heard) == READ
    assert set(plc.asked) == {3, 4}, "it reads, and never writes"


def test_on_a_serial_line(heard: Heard, feed: Feed) -> None:
    plc = device()
    with plc.on_line() as line:
        reading(heard, feed, f"modbus-rtu:{line}?parity=N")
        heard.until(lambda: len(heard.lines) >= 12)
        heard.stop()
    assert figures(heard) == READ
    assert set(plc.asked) == {3, 4}


@pytest.mark.parametrize("on_network", [True, False])
def test_what_comes_late_is_no_answer_to_the_next(heard: Heard, feed: Feed, on_network: bool) -> None:
    """All registers are alike in kind and number, so that only the time tells one answer from another."""
    plc = Device(inputs=[11, 0, 22, 0, 33])
    sources = tuple(
        replace(source, register=replace(feed.channels[1].register, address=at))  # type: ignore[type-var]
        for source, at in zip(feed.channels[:3], (0, 2, 4), strict=True)
    )
    of = replace(feed, channels=sources, poll=Poll((), every_s=0.1, answer_s=0.2))
    port = free_port(socket.SOCK_STREAM)
    with plc.on_network(port) if on_network else plc.on_line() as line:
        reading(heard, of, f"modbus:127.0.0.1:{port}" if on_network else f"modbus-rtu:{line}?parity=N")
        heard.until(lambda: len(heard.lines) >= 3)
        plc.late_s = 0.3
        heard.until(lambda: sum(line.endswith(b": no answer") for line in heard.lines) >= 4)
        plc.late_s = 0.0
        count = len(heard.lines)
        heard.until(lambda: len(heard.lines) >= count + 9)
        heard.stop()
    assert figures(heard) == {"tide": [11.0], "draught_fwd": [22.0], "draught_aft": [33.0]}


@pytest.mark.parametrize(
    ("code", "reason"), [(2, b"no such address"), (6, b"busy"), (99, b"not of the protocol")]
)
def test_what_is_refused_is_said_with_its_reason(heard: Heard, feed: Feed, code: int, reason: bytes) -> None:
    port, plc = free_port(socket.SOCK_STREAM), device()
    plc.refuses = code
    with plc.on_network(port):
        reading(heard, feed, f"modbus:127.0.0.1:{port}")
        heard.until(lambda: len(heard.lines) >= 4)
        heard.stop()
    assert set(heard.lines) == {
        b"modbus %s: exception %d, %s" % (name, code, reason)
        for name in (b"tide", b"draught_fwd", b"draught_aft", b"heel")
    }


def test_an_address_that_is_not_there(heard: Heard, feed: Feed) -> None:
    """An exception, or, of some devices, an answer without registers: never a figure."""
    words = (b"exception 2, no such address", b"0 registers, 1 asked for")
    refused = {b"modbus draught_aft: " + each for each in words}
    port = free_port(socket.SOCK_STREAM)
    with Device(1, 2, inputs=INPUTS, holding=[0]).on_network(port):
        reading(heard, feed, f"modbus:127.0.0.1:{port}")
        heard.until(lambda: bool(refused.intersection(heard.lines)))
        heard.until(lambda: figures(heard).get("tide") == [2.5])
    assert "draught_aft" not in figures(heard)


@pytest.mark.parametrize("on_network", [True, False])
def test_a_device_that_falls_silent_is_opened_anew(heard: Heard, feed: Feed, on_network: bool) -> None:
    port, plc = free_port(socket.SOCK_STREAM), device()
    with plc.on_network(port) if on_network else plc.on_line() as line:
        text = f"modbus:127.0.0.1:{port}" if on_network else f"modbus-rtu:{line}?parity=N"
        reader = reading(heard, feed, text, silence_s=0.8)
        heard.until(lambda: figures(heard) == READ)
        plc.late_s = 1.2
        heard.until(lambda: "open, but no answer for" in reader.status.note)
        plc.late_s = 0.0
        heard.lines.clear()
        heard.until(lambda: figures(heard) == READ)
        heard.stop()


def test_a_device_that_dies_and_comes_back(heard: Heard, feed: Feed) -> None:
    port = free_port(socket.SOCK_STREAM)
    with device().on_network(port):
        reader = reading(heard, feed, f"modbus:127.0.0.1:{port}")
        heard.until(lambda: figures(heard) == READ)
    heard.until(lambda: not reader.status.open)
    assert re.search("connection|no answer", reader.status.note)
    heard.until(lambda: "refused" in reader.status.note)
    with device().on_network(port):
        heard.lines.clear()
        heard.until(lambda: figures(heard) == READ)
        heard.stop()


@pytest.mark.slow
def test_without_the_library_it_says_what_to_install(tmp_path: Path) -> None:
    """The program starts, `check` remarks it, and the port says it; nothing else is loaded for it."""
    modbus_stay(tmp_path, CHANNELS)
    program = (
        "import sys; sys.modules['pymodbus'] = None\n"
        "from alongside.cli.main import main\n"
        "assert main(['check', 'stay.yaml']) == 0\n"
        "sys.exit(main(['listen', 'stay.yaml', '--seconds', '2']))\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program], cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False
    )
    assert "needs pymodbus, which is not installed: pip install 'alongside[modbus]'" in ran.stderr
    assert ran.returncode == 3
    assert "feeds[0].port: remark: needs pymodbus" in ran.stdout


def test_ports_have_their_readers(heard: Heard, feed: Feed) -> None:
    for text in ("modbus:a", "modbus-rtu:/dev/x"):
        reader = reader_of(replace(feed, port=text), heard)
        assert reader.port == parse_port(text)
