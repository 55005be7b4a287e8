"""An exercise cut from the record of a real watch: a console on a terminal, gauges on a port, a deed."""

import re
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.record.reader import RecordReader
from alongside.training.exercise.file import read_exercise
from alongside.units import iso_time
from tests.berth import sentence
from tests.screens.terminal import OnTerminal
from tests.training.exercise.lived import BALANCED


@contextmanager
def gauges_on(port: int) -> Iterator[None]:
    """Twice a second, whatever happens."""
    stop = threading.Event()

    def send() -> None:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender:
            number = 0
            while not stop.wait(0.5):
                last = 0.001 * (number % 2)
                text = f"IIXDR,D,{2.0 + last:.3f},M,TIDE,D,{4.0 + last:.3f},M,DRF,D,{4.5 + last:.3f},M,DRA"
                sender.sendto(sentence(text) + b"\r\n", ("127.0.0.1", port))
                number += 1

    thread = threading.Thread(target=send)
    thread.start()
    try:
        yield
    finally:
        stop.set()
        thread.join()


@pytest.mark.slow
def test_the_record_of_a_watch_becomes_an_exercise(tmp_path: Path) -> None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    text = re.sub(r"  - name: wind.*?(?=^cargo)", "", BALANCED, flags=re.S | re.M)
    stay = tmp_path / "stay.yaml"
    stay.write_text(text.replace("serial:/dev/ttyUSB0?baud=4800", f"udp:{port}"), encoding="utf-8")
    record = tmp_path / "record"
    watch = OnTerminal(["-m", "alongside", "watch", str(stay), "--record", str(record)], (120, 30))
    try:
        with gauges_on(port):
            watch.wait_for(lambda: watch.shows("Test ship") and watch.shows("UTC"))
            time.sleep(12.0)
            watch.type("t")
            watch.wait_for(lambda: watch.shows("Tended line"))
            watch.type("slack 0.05\r")
            watch.wait_for(lambda: watch.shows("Will record"))
            watch.type("\r")
            watch.wait_for(lambda: len(list_of_actions(record)) == 1)
            tended = list_of_actions(record)[0][0]
            time.sleep(25.0)
            watch.type("q")
            watch.wait_for(lambda: watch.shows("End the watch?"))
            watch.type("y")
            watch.process.wait(20.0)
    finally:
        watch.close()
    moment = iso_time(tended + 10.0)
    folder = tmp_path / "mine"
    options = ["--at", moment, "--before", "0.1", "--after", "0.15"]
    assert main(["exercise", str(folder), "--from", str(record), *options]) == 0
    exercise = read_exercise(folder / "exercise.yaml")
    assert exercise.start >= tended
    with RecordReader(record) as kept:
        known = kept.memory_at()
    assert known is not None
    last = {each.line: each.out_m for each in exercise.stood}
    assert last["2"] == pytest.approx(float(known[1].lengths.unstretched[1]), abs=1e-4), "slacked by 0.05 m"
    done = tmp_path / "done.jsonl"
    done.write_text("")
    assert main(["debrief", str(folder / "exercise.yaml"), str(done)]) == 0


def list_of_actions(record: Path) -> list[tuple[float, object]]:
    with RecordReader(record) as kept:
        return [(each.time, each.action) for each in kept.actions()]
