"""Every kind of port in a live watch: what it brings is on record, and a log of it reads the same without."""

import math
import os
import socket
import time
import tty
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest

from alongside.feeds.intake import Intake
from alongside.feeds.log import FeedLog
from alongside.record.feedfiles import feed_logs
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from tests.berth import STAY_TEXT, a_stay, sentence
from tests.feeds.test_line_numbers import numbered
from tests.feeds.test_polled import Converter
from tests.feeds.test_readers import LOOPBACK, free_port
from tests.runtime.test_live import LINE, watching

PORT = "serial:/dev/ttyUSB0?baud=4800"


def stay_with_port(folder: Path, port: str) -> Stay:
    assert PORT in STAY_TEXT
    return a_stay(folder, STAY_TEXT.replace(PORT, port))


def newest_of_record(stay: Stay, record: Path) -> dict[str, float]:
    """Return the newest value of each channel by the record alone."""
    intake = Intake(stay)
    (log,) = feed_logs(record)
    newest = -math.inf
    for batch in FeedLog(log):
        intake.take_batch(batch)
        newest = batch.time[-1]
    readings = intake.readings(np.array([math.ceil(newest)], dtype=np.float64))
    return {name: float(readings.column(name)[0]) for name in intake.channels}


def test_a_growing_file_in_the_folder_of_the_stay(tmp_path: Path) -> None:
    stay = stay_with_port(tmp_path, "file:gauges.log")
    log = tmp_path / "gauges.log"
    log.write_bytes(LINE.replace(b"2.000", b"9.000"))
    with watching(stay, tmp_path / "record") as (_, shown):
        shown.wait(lambda p: p.feeds[0].open)
        with log.open("ab") as file:
            file.write(LINE)
        live = shown.wait(lambda p: p.tide == 2.0)
        assert live.feeds[0].sentences == 1
    assert newest_of_record(stay, tmp_path / "record")["tide"] == 2.0


def test_an_export_that_is_written_in_pieces_and_ends(tmp_path: Path) -> None:
    """Its rows are as old as they say: what came at once is a course of values, live and from the record."""
    now = math.floor(time.time())
    of = STAY_TEXT.replace(PORT, "csv:export.csv?to=end").replace("{sentence: XDR, name: ", "{column: ")
    of = of.replace("    channels:", "    time: {column: Time, form: unix}\n    channels:")
    stay = a_stay(tmp_path, of.replace("TIDE}", "TIDE, smooth_s: 0}"))
    rows = [f"{now - 40 + 10 * k};{2 + k / 10:.1f};4.0;4.5" for k in range(3)]
    (tmp_path / "export.csv").write_text("Time;TIDE;DRF;DRA\n" + "\n".join([*rows, "1;2", ""]))
    with watching(stay, tmp_path / "record") as (_, shown):
        live = shown.wait(lambda p: p.feeds[0].sentences == 4)
        ended = shown.wait(lambda p: not p.feeds[0].open)
    assert (live.tide, live.feeds[0].faults) == (2.2, 1)
    assert "has ended" in ended.feeds[0].note
    assert newest_of_record(stay, tmp_path / "record")["tide"] == 2.2
    (log,) = feed_logs(tmp_path / "record")
    assert f"Time={now - 20};TIDE=2.2;DRF=4.0;DRA=4.5".encode() in log.read_bytes()


@pytest.mark.parametrize("on_network", [True, False])
def test_a_converter_that_is_asked(tmp_path: Path, on_network: bool) -> None:
    """Two on one wire; one falls silent: counted, live and from the record, and the other is read on."""
    silent: list[bytes] = []

    def answers(prompt: bytes) -> bytes:
        return b"" if prompt in silent else {b"#01": b">+2.000\r", b"#02": b">+4.100\r"}[prompt]

    with _wire(on_network) as (port, connected):
        pattern = "pattern: '^#01 >(?P<t>[-+.0-9]+)$|^#02 >(?P<f>[-+.0-9]+)$'"
        poll = 'poll: {prompt: ["#01\\r", "#02\\r"], every_s: 0.5, answer_s: 0.4}'
        text = STAY_TEXT.replace(PORT, port).replace(
            "    channels:\n", f"    {pattern}\n    {poll}\n    channels:\n"
        )
        text = text.replace("{sentence: XDR, name: TIDE}", "{group: t}")
        text = text.replace("{sentence: XDR, name: DRF}", "{group: f}")
        stay = a_stay(tmp_path, text.replace("      draught_aft: {sentence: XDR, name: DRA}\n", ""))
        with watching(stay, tmp_path / "record") as (_, shown):
            converter = Converter(connected(), answers)
            live = shown.wait(lambda p: p.tide == 2.0 and p.draught_fwd == 4.1)
            assert live.feeds[0].faults == 0
            silent.append(b"#02")
            count = live.feeds[0].sentences
            shown.wait(lambda p: p.feeds[0].faults >= 2 and p.feeds[0].sentences > count + 4)
            assert shown.wait(lambda p: p.tide == 2.0).feeds[0].open
        converter.stop()
    again = newest_of_record(stay, tmp_path / "record")
    assert (again["tide"], again["draught_fwd"]) == (2.0, 4.1)


@contextmanager
def _wire(on_network: bool) -> Iterator[tuple[str, Callable[[], int]]]:
    """Yield a port of the stay file, and what waits for it to be opened and gives its other end."""
    if on_network:
        with socket.create_server(("127.0.0.1", 0)) as server:
            ends: list[socket.socket] = []

            def connected() -> int:
                server.settimeout(10.0)
                ends.append(server.accept()[0])
                return ends[0].fileno()

            yield f"tcp:127.0.0.1:{server.getsockname()[1]}", connected
            for end in ends:
                end.close()
        return
    master, slave = os.openpty()
    tty.setraw(slave)
    yield f"serial:{os.ttyname(slave)}", lambda: master
    os.close(master)
    os.close(slave)


@pytest.mark.slow
@pytest.mark.parametrize("on_network", [True, False])
def test_registers_of_a_device_that_dies_and_comes_back(tmp_path: Path, on_network: bool) -> None:
    """The record is read again without the device, and gives the same; a port that is gone is a fault."""
    pytest.importorskip("pymodbus")
    from tests.feeds.devices import Device, words_of
    from tests.feeds.test_registers import CHANNELS, modbus_stay

    number = free_port(socket.SOCK_STREAM)
    plc = Device(1, 2, inputs=[*words_of("f", 2.5), 700, 65521], holding=[*[0] * 7, 12000])
    poll = "    poll: {every_s: 0.2, answer_s: 0.2}\n"
    with plc.on_line() as line, plc.on_network(number) as _:
        text = f"modbus:127.0.0.1:{number}" if on_network else f'"modbus-rtu:{line}?parity=N"'
        stay = modbus_stay(tmp_path, CHANNELS, text, poll)
        with watching(stay, tmp_path / "record") as (_, shown):
            live = shown.wait(lambda p: p.feeds[0].sentences >= 8 and p.tide == 2.5)
            assert live.feeds[0].faults == 0
            plc.refuses = 4
            refused = shown.wait(lambda p: p.feeds[0].faults >= 4)
            assert refused.tide == 2.5
            plc.refuses, plc.late_s = 0, 0.4
            shown.wait(lambda p: p.feeds[0].faults >= refused.feeds[0].faults + 2)
            plc.late_s = 0.0
            before = refused.feeds[0].sentences
            shown.wait(lambda p: p.feeds[0].sentences >= before + 8 and p.tide == 2.5)
    assert set(plc.asked) == {3, 4}
    again = newest_of_record(stay, tmp_path / "record")
    expected = {"tide": 2.5, "draught_fwd": 7.0, "draught_aft": 8.0, "heel": -1.5}
    assert {name: again[name] for name in expected} == expected


@pytest.mark.slow
def test_a_device_that_is_gone_is_said_and_read_again_when_it_is_back(tmp_path: Path) -> None:
    pytest.importorskip("pymodbus")
    from tests.feeds.devices import Device, words_of
    from tests.feeds.test_registers import CHANNELS, modbus_stay

    number = free_port(socket.SOCK_STREAM)
    stay = modbus_stay(tmp_path, CHANNELS, f"modbus:127.0.0.1:{number}")
    with watching(stay, tmp_path / "record") as (_, shown):
        for tide in (2.5, 3.0):
            plc = Device(1, 2, inputs=[*words_of("f", tide), 700, 0], holding=[0] * 9)
            with plc.on_network(number):
                shown.wait(lambda p: p.feeds[0].open and p.tide == tide)  # noqa: B023
            gone = shown.wait(lambda p: not p.feeds[0].open)
            assert f"127.0.0.1:{number}" in gone.feeds[0].note


@LOOPBACK
def test_the_second_caller_is_told_from_the_first(tmp_path: Path) -> None:
    number = free_port(socket.SOCK_STREAM)
    stay = stay_with_port(tmp_path, f"tcp-in:{number}")
    with watching(stay, tmp_path / "record") as (_, shown):
        shown.wait(lambda p: p.feeds[0].open)
        to = ("127.0.0.1", number)
        with socket.create_connection(to, source_address=("127.0.0.2", 0)) as first:
            first.sendall(LINE)
            shown.wait(lambda p: p.tide == 2.0)
            with socket.create_connection(to, source_address=("127.0.0.3", 0)) as second:
                second.sendall(sentence("IIXDR,D,9.000,M,TIDE") + b"\r\n")
                other = shown.wait(lambda p: p.stages["feed", "gauges"] is Stage.CAUTION)
                assert other.tide == 2.0
                assert other.feeds[0].faults == 1
    assert newest_of_record(stay, tmp_path / "record")["tide"] == 2.0


def test_lines_that_are_missing_by_their_numbers(tmp_path: Path) -> None:
    """Of datagrams with the header of IEC 61162-450, two sentences in each."""
    number = free_port(socket.SOCK_DGRAM)
    stay = stay_with_port(tmp_path, f"udp:{number}")
    with watching(stay, tmp_path / "record") as (_, shown):
        shown.wait(lambda p: p.feeds[0].open)
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender:
            for first in (998, 3):
                pair = (numbered((first + k - 1) % 999 + 1, LINE) for k in range(2))
                sender.sendto(b"UdPbC\0" + b"".join(pair), ("127.0.0.1", number))
        live = shown.wait(lambda p: p.feeds[0].sentences == 4)
    (counted,) = live.feeds[0].numbers
    assert (counted.source, counted.heard, counted.missing) == ("WI0001", 4, 2)
    again = Intake(stay)
    (log,) = feed_logs(tmp_path / "record")
    for batch in FeedLog(log):
        again.take_batch(batch)
    assert again.numbers["gauges"].all() == (counted,)
