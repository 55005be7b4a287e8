"""A live watch at a terminal: a line found slack, what that shows accepted, the console killed, and the watch
gone on with."""

import os
import signal
import socket
import threading
import time
from pathlib import Path

import pytest

from alongside.actions import AcceptLearnt, ReadLoad
from alongside.record.reader import RecordReader
from tests.berth import STAY_TEXT, sentence, write_stay
from tests.training.exercise.test_console import Console


def said_until(stop: threading.Event, port: int) -> None:
    """Say what the gauges measure, once a second."""
    line = sentence("IIXDR,D,2.000,M,TIDE,D,4.000,M,DRF,D,4.500,M,DRA") + b"\r\n"
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as out:
        while not stop.is_set():
            out.sendto(line, ("127.0.0.1", port))
            stop.wait(1.0)


def a_port() -> int:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as free:
        free.bind(("127.0.0.1", 0))
        return int(free.getsockname()[1])


def enter(console: Console, what: str, recorded: str) -> None:
    """Enter what happened to line 2 on deck, and see it recorded."""
    console.types("x")
    console.wait_for(console.shows("initials"))
    console.types(what)
    console.wait_for(console.shows(what))
    console.types("\trv\r")
    console.wait_for(console.shows("Will record"))
    console.types("\r")
    console.wait_for(console.shows(recorded))


@pytest.mark.slow
def test_what_was_accepted_at_the_terminal_is_there_after_a_kill(tmp_path: Path) -> None:
    port, record, stop = a_port(), tmp_path / "record", threading.Event()
    text = STAY_TEXT.replace("serial:/dev/ttyUSB0?baud=4800", f"udp:{port}?on=127.0.0.1")
    stay = write_stay(tmp_path, text)
    sender = threading.Thread(target=said_until, args=(stop, port), daemon=True)
    sender.start()
    command = ("watch", str(stay), "--record", str(record))
    try:
        console = Console(*command)
        try:
            console.wait_for(console.shows("F 4.00"))  # a load read before a gauge was heard teaches nothing
            console.types("2")
            console.wait_for(console.shows("Line 2, breast"))
            enter(console, "found slack", "found slack (rv)")
            console.wait_for(console.shows("accept?"))
            enter(console, "accept", "m more out than computed (rv)")
            time.sleep(2.0)
            os.kill(console.process.pid, signal.SIGKILL)
        finally:
            console.close()
        again = Console(*command)
        try:
            again.wait_for(again.shows("breast"))
            again.types("2")
            again.wait_for(again.shows("Line 2, breast"))
            again.wait_for(again.shows("m more out than computed"))
        finally:
            again.close()
    finally:
        stop.set()
        sender.join()
    with RecordReader(record) as kept:
        done = [each.action for each in kept.actions()]
        stays = kept.runs()
    assert [type(each) for each in done] == [ReadLoad, AcceptLearnt]
    assert all(each.by == "rv" for each in done if isinstance(each, AcceptLearnt))
    assert stays[-1].stay.lines[1].learnt is not None
