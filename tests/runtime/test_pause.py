"""A process that is stopped for a quarter of a minute: the watch says so, a replay does not notice."""

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest

from tests.berth import START, gauges, write_stay

STOPPED_S: Final = 15.0
WATCH: Final = """
import os, sys, time
from pathlib import Path
from alongside.runtime.live import LiveDesk
from alongside.stay.read import read_stay

desk = LiveDesk(read_stay(sys.argv[1]), Path(sys.argv[2]))
seen = set()

def show(picture):
    for event in picture.log:
        if (event.time, event.event) not in seen:
            seen.add((event.time, event.event))
            os.write(1, f"{event.time}|{event.event}|{event.value}|{event.text}\\n".encode())
    os.write(1, f"{picture.time}|cycle||\\n".encode())

desk.start(show)
time.sleep(120.0)
"""


def stopped_for(process: "subprocess.Popen[bytes]", seconds: float) -> None:
    os.kill(process.pid, signal.SIGSTOP)
    time.sleep(seconds)
    os.kill(process.pid, signal.SIGCONT)


def rows_until(
    process: "subprocess.Popen[bytes]", ended: Callable[[list[list[str]]], bool]
) -> list[list[str]]:
    """What the watch printed until a condition holds; it comes or the process is at its end."""
    rows: list[list[str]] = []
    assert process.stdout is not None
    for line in process.stdout:
        rows.append(line.decode().rstrip("\n").split("|"))
        if ended(rows):
            break
    return rows


@pytest.mark.slow
def test_a_watch_that_was_stopped_for_fifteen_seconds_says_so(tmp_path: Path) -> None:
    command = [sys.executable, "-c", WATCH, str(write_stay(tmp_path)), str(tmp_path / "record")]
    with subprocess.Popen(command, stdout=subprocess.PIPE) as process:
        try:
            before = rows_until(process, lambda rows: sum(row[1] == "cycle" for row in rows) == 3)
            stopped_for(process, STOPPED_S)
            after = rows_until(process, lambda rows: rows[-1][1] == "gap")
        finally:
            process.kill()
    assert not [row for row in before if row[1] == "gap"]
    begin, _, seconds, text = after[-1]
    assert STOPPED_S - 1.5 <= float(seconds) <= STOPPED_S + 30.0
    assert text.startswith("no cycle for ")
    assert "was stopped" in text
    assert float(begin) - float(seconds) == pytest.approx(float(before[-1][0]), abs=5.0)


@pytest.mark.slow
def test_a_replay_that_was_stopped_gives_what_it_would_have_given(tmp_path: Path) -> None:
    log = tmp_path / "stay.log"
    log.write_bytes(b"".join(gauges(START + s, 2.0 + s / 3000.0) for s in range(6000)))
    stay = write_stay(tmp_path)

    def run(name: str, stopped_s: float) -> bytes:
        states, events = tmp_path / f"{name}.states", tmp_path / f"{name}.events"
        command = [sys.executable, "-m", "alongside", "replay", str(stay), str(log), "--headless"]
        with subprocess.Popen([*command, "--states", str(states), "--events", str(events)]) as process:
            while not list(tmp_path.glob(f"{name}.states*")):
                time.sleep(0.01)
            if stopped_s:
                assert process.poll() is None, "it is at work"
                stopped_for(process, stopped_s)
        assert process.returncode == 0
        return states.read_bytes() + events.read_bytes()

    plain = run("plain", 0.0)
    assert run("stopped", STOPPED_S) == plain
    assert not [row for row in plain.splitlines() if json.loads(row).get("event") == "gap"]
