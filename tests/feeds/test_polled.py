"""Converters that are asked, behind a pseudo terminal and a socket: they answer, are late, or say nothing."""

import os
import re
import select
import socket
import threading
import time
import tty
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest

from alongside.feeds.flaws import Flaw
from alongside.feeds.intake import Intake
from alongside.feeds.log import FeedLog
from alongside.feeds.polled import PolledSerialReader, PolledTcpReader
from alongside.feeds.ports import reader_of
from alongside.feeds.serial import SerialReader
from alongside.stay.model import Feed, Poll, Source
from alongside.stay.ports import SerialPort, TcpPort
from tests.berth import STAY_TEXT, a_stay
from tests.feeds.stays import START, stay_with, tide, write_log
from tests.feeds.test_readers import WAIT_S, Heard

PORT = 'port: "serial:/dev/ttyUSB0?baud=4800"'
POLL = Poll(("#01\r", "#02\r"), every_s=0.1, answer_s=0.08)
Answers = Callable[[bytes], bytes]


@pytest.fixture
def heard() -> Iterator[Heard]:
    with Heard() as collected:
        yield collected


class Converter:
    """Answers each prompt by a function, through whatever end of a wire it is given."""

    def __init__(self, end: int, answers: Answers) -> None:
        self.asked: list[bytes] = []
        self.answers = answers
        self._end = end
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True)
        self._thread.start()

    def _run(self) -> None:
        rest = b""
        while not self._over.is_set():
            if not select.select([self._end], [], [], 0.05)[0]:
                continue
            *prompts, rest = (rest + os.read(self._end, 99)).split(b"\r")
            for prompt in prompts:
                self.asked.append(prompt)
                os.write(self._end, self.answers(prompt))

    def stop(self) -> None:
        self._over.set()
        self._thread.join()


@pytest.fixture
def wire() -> Iterator[tuple[str, int]]:
    """Return the name of a serial port and its other end."""
    master, slave = os.openpty()
    tty.setraw(slave)
    yield os.ttyname(slave), master
    os.close(master)
    os.close(slave)


def test_answers_are_told_apart_by_their_prompts(heard: Heard, wire: tuple[str, int]) -> None:
    converter = Converter(wire[1], lambda prompt: b">+%s.5\r" % prompt[2:])
    reader = PolledSerialReader(SerialPort(wire[0]), "mA", heard, POLL)
    heard.start(reader)
    heard.until(lambda: len(heard.lines) >= 4)
    heard.stop()
    converter.stop()
    assert heard.lines[:4] == [b"#01 >+1.5", b"#02 >+2.5"] * 2
    assert converter.asked[:4] == [b"#01", b"#02"] * 2


def test_no_answer_and_a_late_one(heard: Heard, wire: tuple[str, int]) -> None:
    """What comes late belongs to nobody: it is not taken for the answer to the next prompt."""

    def answers(prompt: bytes) -> bytes:
        if prompt == b"#01":
            time.sleep(0.15)
            return b">+9.0\r"
        return b">+2.5\r"

    converter = Converter(wire[1], answers)
    poll = Poll(("#01\r", "#02\r"), every_s=0.3, answer_s=0.1)
    heard.start(PolledSerialReader(SerialPort(wire[0]), "mA", heard, poll))
    heard.until(lambda: len(heard.lines) >= 4)
    heard.stop()
    converter.stop()
    assert heard.lines[:4] == [b"#01 no answer", b"#02 >+2.5"] * 2


def test_over_the_network_and_opened_anew_where_nobody_answers(heard: Heard) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.settimeout(WAIT_S)
        poll = Poll(("?\r",), every_s=0.1, answer_s=0.05)
        port = TcpPort("127.0.0.1", server.getsockname()[1])
        reader = PolledTcpReader(port, "mA", heard, poll, first_wait=0.05, silence_s=0.4)
        heard.start(reader)
        silent, _ = server.accept()
        heard.until(lambda: "no answer for" in reader.status.note or reader.status.note == "")
        again, _ = server.accept()
        converter = Converter(again.fileno(), lambda _: tide(2.0) + b"\r\n")
        heard.until(lambda: tide(2.0) in heard.lines)
        heard.stop()
        converter.stop()
        silent.close()
        again.close()
    assert b"? no answer" in heard.lines


SOURCES = (Source("tide", None, group="tide"), Source("draught_fwd", None, group="fwd"))
FEED = Feed(
    "mA", "serial:/dev/ttyUSB0", SOURCES, r"^#01 >(?P<tide>[-+.0-9]+)|^#02 >(?P<fwd>[-+.0-9]+)", (), POLL
)


def test_from_a_log_without_the_port(tmp_path: Path) -> None:
    lines = [b"#01 >+1.5", b"#02 >+7.5", b"#01 no answer", b"#02 >+7.5"] * 5
    intake = Intake(stay_with(FEED))
    for batch in FeedLog(
        write_log(tmp_path / "a.log", ((START + k, "mA", line) for k, line in enumerate(lines)))
    ):
        intake.take_batch(batch)
    assert intake.tallies["mA"] == {Flaw.NO_ANSWER: 5}
    assert re.search("5 no answer", str(intake.tallies["mA"]))
    readings = intake.readings(np.array([START + 20.0]))
    assert readings.column("tide")[0] == 1.5
    assert readings.column("draught_fwd")[0] == 7.5


def test_nothing_is_sent_unless_the_stay_file_says_so(heard: Heard, wire: tuple[str, int]) -> None:
    assert type(reader_of(FEED, heard)) is PolledSerialReader
    assert type(reader_of(Feed("a", "tcp:host:4001", (), poll=POLL), heard)) is PolledTcpReader
    reader = reader_of(Feed("a", f"serial:{wire[0]}", ()), heard)
    assert type(reader) is SerialReader
    heard.start(reader)
    heard.until(lambda: reader.status.open)
    assert not select.select([wire[1]], [], [], 0.5)[0]


def test_a_prompt_in_the_stay_file_may_end_its_line(tmp_path: Path) -> None:
    assert PORT in STAY_TEXT
    for given, prompt in (('"#01\\r"', ("#01\r",)), ('["#01\\r\\n", "#02\\r\\n"]', ("#01\r\n", "#02\r\n"))):
        poll = f"{PORT}\n    poll: {{prompt: {given}, every_s: 2}}"
        (feed,) = a_stay(tmp_path, STAY_TEXT.replace(PORT, poll)).feeds
        assert feed.poll == Poll(prompt, 2.0, 0.5)
