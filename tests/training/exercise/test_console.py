"""An exercise at a real terminal: lived through, put down, debriefed."""

import fcntl
import json
import os
import pty
import select
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable
from pathlib import Path

import pyte
import pytest

from alongside.actions import CallOut
from alongside.record.orders_file import OrdersFile
from alongside.training.exercise.actions_file import read_actions, read_attempt
from alongside.training.exercise.file import read_exercise
from tests.training.exercise.lived import flood, write_exercise

ROOT = Path(__file__).parents[3]
DEADLINE_S = 30.0


class Console:
    """`alongside` with these arguments on a pseudo-terminal of 100 x 30."""

    def __init__(self, *arguments: str) -> None:
        self.master, self.slave = pty.openpty()
        fcntl.ioctl(self.slave, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
        self.screen = pyte.Screen(100, 30)
        self.stream = pyte.ByteStream(self.screen)
        self.output = b""
        self.process = subprocess.Popen(
            [sys.executable, "-m", "alongside", *arguments],
            stdin=self.slave,
            stdout=self.slave,
            stderr=self.slave,
            cwd=ROOT,
            env={**os.environ, "TERM": "xterm-256color"},
            start_new_session=True,
        )

    def wait_for(self, condition: Callable[[], bool]) -> None:
        end = time.monotonic() + DEADLINE_S
        while not condition():
            assert time.monotonic() < end, "\n".join(self.screen.display)
            if select.select([self.master], [], [], 0.1)[0]:
                data = os.read(self.master, 65536)
                self.output += data
                self.stream.feed(data.replace(b"\x1b[>", b"\x1b[?").replace(b"\x1b[<u", b""))

    def shows(self, text: str) -> Callable[[], bool]:
        return lambda: any(text in row for row in self.screen.display)

    def types(self, text: str) -> None:
        os.write(self.master, text.encode())

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        os.close(self.master)
        os.close(self.slave)


@pytest.mark.slow
def test_what_is_done_at_the_console_is_kept_and_debriefed(tmp_path: Path) -> None:
    path, kept = write_exercise(tmp_path, "", tide=flood), tmp_path / "done.jsonl"
    console = Console("exercise", str(path), "--actions", str(kept))
    try:
        console.wait_for(console.shows("Enter begins"))
        assert console.shows("Practice: pauses")()
        console.types("\r")
        console.wait_for(console.shows("EXERCISE"))
        console.types("]")  # to the first alert, which stands still there
        console.wait_for(console.shows("▸ ■ CAUTION 2"))  # the line chosen, which the form takes up
        console.types("t")
        console.wait_for(console.shows("initials"))
        console.types("out 0.4")
        console.wait_for(console.shows("out 0.4 "))
        console.types("\r")
        console.wait_for(console.shows("Will order"))
        console.types("\r")
        console.wait_for(console.shows("Line 2 slacked 0.40 m"))
        console.types("q")
        console.wait_for(console.shows("End the exercise?"))
        console.types("y")
        console.wait_for(lambda: console.process.poll() is not None)
        console.wait_for(lambda: b"highest load" in console.output)
    finally:
        console.close()
    assert console.process.returncode == 0
    attempt, done = [json.loads(row) for row in kept.read_text().splitlines()]
    assert attempt["attempt"]["looked_ahead"] == 1
    assert attempt["attempt"]["left_at"] < "2026-03-02T04:30"
    assert (done["action"], done["line"], done["paid_out"]) == ("tend", "2", 0.4)
    text = console.output.decode(errors="replace")
    assert f"What was done: {kept}" in text
    assert "Rounds made: 1, 1 line tended" in text


@pytest.mark.slow
def test_an_exam_keeps_to_its_time(tmp_path: Path) -> None:
    path, kept = write_exercise(tmp_path, "", tide=flood, more="pace: 5"), tmp_path / "done.jsonl"
    console = Console("exercise", str(path), "--exam", "--actions", str(kept))
    try:
        console.wait_for(console.shows("Your name:"))
        assert console.shows("cannot be stopped")()
        console.types("Ada [bold]Example\r")
        console.wait_for(console.shows("Enter begins"))
        console.types("\r")
        console.wait_for(console.shows("EXERCISE ×5"))
        for key in " ][.j}":
            console.types(key)
            time.sleep(0.5)  # keys that come at once are taken for pasted text
        console.wait_for(console.shows("Not done: in an exam"))
        console.types("5\t")  # page Log, its history
        console.wait_for(console.shows("Not done: in an exam"))
        console.types("q")
        console.wait_for(console.shows("End the exercise?"))
        console.types("y")
        console.wait_for(lambda: console.process.poll() is not None)
    finally:
        console.close()
    attempt = json.loads(kept.read_text().splitlines()[0])["attempt"]
    assert attempt["trainee"] == "Ada [bold]Example"
    assert attempt["exam"]
    assert attempt["refused"] >= 6
    assert (attempt["pauses"], attempt["went_back"], attempt["jumped_on"], attempt["looked_ahead"]) == (
        0,
    ) * 4
    assert attempt["paused_s"] == 0.0
    assert attempt["fastest"] == 5.0


@pytest.mark.slow
def test_no_other_pace_in_an_exam(tmp_path: Path) -> None:
    path = write_exercise(tmp_path, "")
    console = Console("exercise", str(path), "--exam", "--speed", "10")
    try:
        console.wait_for(console.shows("an exam goes"))
        console.wait_for(lambda: console.process.poll() is not None)
    finally:
        console.close()
    assert console.process.returncode == 2


@pytest.mark.slow
def test_an_exam_whose_console_is_killed_is_on_record_with_what_was_ordered(tmp_path: Path) -> None:
    """Who sees that it goes badly cannot make it undone by ending the process or closing the terminal."""
    path, kept = write_exercise(tmp_path, "", tide=flood), tmp_path / "done.jsonl"
    console = Console("exercise", str(path), "--exam", "--name", "A. Cadet", "--actions", str(kept))
    try:
        console.wait_for(console.shows("Enter begins"))
        assert not kept.exists()
        console.types("\r")
        console.wait_for(console.shows("EXERCISE"))
        assert '"trainee": "A. Cadet"' in kept.read_text(), "from its beginning on"
        console.types("x")
        console.wait_for(console.shows("initials"))
        console.types("call master\tAC")
        console.wait_for(console.shows("AC"))
        console.types("\r")
        console.wait_for(console.shows("Enter orders it"))  # by what was typed: the form had a line
        console.types("\r")
        console.wait_for(lambda: '"master"' in kept.read_text())
        console.wait_for(lambda: not console.shows("Enter orders it")())  # else the key is the form's
        console.types("g")
        console.wait_for(console.shows("in an exam time goes on by itself"))
        assert not console.shows("Replay goes")()
        assert not console.shows("Space stop")(), "no key that moves time is offered"
        console.process.kill()
        console.process.wait()
    finally:
        console.close()
    attempt = read_attempt(kept)
    assert attempt is not None
    assert attempt.left_at < read_exercise(path).end - 60.0
    assert [type(done.action) for done in read_actions(kept)] == [CallOut]
    assert not list(tmp_path.glob(".*.part"))


def test_two_consoles_never_share_a_list(tmp_path: Path) -> None:
    first = OrdersFile.at_free_place(tmp_path / "a.jsonl")
    second = OrdersFile.at_free_place(tmp_path / "a.jsonl")
    first.write(["1"])
    second.write(["2"])
    assert (first.path.read_text(), second.path.read_text()) == ("1\n", "2\n")
    with pytest.raises(FileExistsError):
        OrdersFile(tmp_path / "a.jsonl")
