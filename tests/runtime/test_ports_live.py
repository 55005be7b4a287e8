"""Every kind of port in a live watch: what it brings is on record, and a log of it reads the same without."""

import math
import socket
from pathlib import Path

import numpy as np

from alongside.feeds.intake import Intake
from alongside.feeds.log import FeedLog
from alongside.record.feedfiles import feed_logs
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from tests.berth import STAY_TEXT, a_stay, sentence
from tests.feeds.test_line_numbers import numbered
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
