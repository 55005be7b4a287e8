"""Instructor and trainee as two processes at terminals of their own, with kills of either."""

import json
import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from alongside.training.exercise.actions_file import read_actions, read_attempt
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import Gust, Message
from tests.screens.terminal import OnTerminal
from tests.training.exercise.lived import BALANCED, flood, write_exercise

MORE = "crew: {hands: 2, minutes_per_line: 5}\npace: 5"


class Both:
    """The terminals of both, on one home."""

    def __init__(self, folder: Path) -> None:
        self.home = {"XDG_STATE_HOME": str(folder / "state"), "XDG_CACHE_HOME": str(folder / "cache")}
        self.exercise = write_exercise(folder, "", BALANCED, flood, more=MORE)
        self.done = folder / "done.jsonl"
        self.open: list[OnTerminal] = []

    def at(self, *arguments: str, size: tuple[int, int] = (100, 30)) -> OnTerminal:
        terminal = OnTerminal(["-m", "alongside", *arguments], size, environment=self.home)
        self.open.append(terminal)
        return terminal

    def trainee(self, *more: str) -> OnTerminal:
        exercise = ("exercise", str(self.exercise), "--station", "--name", "Ada [bold]Example")
        terminal = self.at(*exercise, "--actions", str(self.done), *more)
        terminal.wait_for(lambda: terminal.shows("Enter begins"))
        assert terminal.shows("An instructor follows")
        terminal.type("\r")
        terminal.wait_for(lambda: terminal.shows("EXERCISE"))
        return terminal

    def instructor(self) -> OnTerminal:
        terminal = self.at("instruct")
        terminal.wait_for(lambda: terminal.shows("INSTRUCTOR") and not terminal.shows("Reading the feed"))
        terminal.wait_for(lambda: terminal.shows("Ada [bold]Example"))
        return terminal

    def rows(self) -> list[dict[str, object]]:
        (attempt,) = Path(self.home["XDG_STATE_HOME"]).glob("alongside/exercises/stations/*/attempt.jsonl")
        return [json.loads(row) for row in attempt.read_text().splitlines()]

    def run(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "alongside", *arguments],
            env={**os.environ, **self.home},
            capture_output=True,
            text=True,
            check=False,
        )


@pytest.fixture
def both(tmp_path: Path) -> Iterator[Both]:
    made = Both(tmp_path)
    yield made
    for terminal in made.open:
        terminal.close()


def typed(terminal: OnTerminal, key: str, opens: str, text: str) -> None:
    """Open a form, fill it in, and confirm."""
    terminal.type(key)
    terminal.wait_for(lambda: terminal.shows(opens))
    for part in re.split("(\t)", text):
        terminal.type(part)  # keys that come at once are taken for pasted text
        terminal.read(0.5)
    terminal.wait_for(lambda: terminal.shows(text.split("\t")[0]))
    terminal.type("\r")


def injects(terminal: OnTerminal, text: str) -> None:
    typed(terminal, "e", " Inject ", text)
    terminal.wait_for(lambda: terminal.shows("Will record"))
    terminal.type("\r")
    terminal.wait_for(lambda: terminal.shows("Put in"))


def ends(terminal: OnTerminal, asks: str) -> None:
    terminal.type("q")
    terminal.wait_for(lambda: terminal.shows(asks))
    terminal.type("y")
    terminal.wait_for(lambda: terminal.process.poll() is not None)


@pytest.mark.slow
def test_an_instructor_at_work_in_an_exam(both: Both) -> None:
    """Injects, stops time, marks, and sees what the trainee sees; all of it in the file and the debrief."""
    trainee = both.trainee("--exam")
    instructor = both.instructor()
    trainee.type("4")
    instructor.wait_for(lambda: instructor.shows("at Hours"))
    instructor.wait_for(lambda: instructor.shows("▸4 Ahead"))
    injects(instructor, "gust 34 from 205 for 10 min")
    injects(instructor, "terminal: Cargo stops [/] at 06:00")
    trainee.wait_for(lambda: trainee.shows("Terminal: Cargo stops [/] at 06:00"))
    instructor.type(" ")
    trainee.wait_for(lambda: trainee.shows("TIME STANDS"))
    instructor.wait_for(lambda: instructor.shows("TIME STANDS: Space lets it go on"))
    typed(instructor, "w", " Note ", "saw it late\tIN")
    instructor.wait_for(lambda: any(row["row"] == "marked" for row in both.rows()))
    instructor.type(" ")
    trainee.wait_for(lambda: not trainee.shows("TIME STANDS"))
    instructor.type("0")
    instructor.wait_for(lambda: instructor.shows("What you did"))
    instructor.wait_for(lambda: instructor.shows("marked: saw it late"))
    ends(instructor, "The trainee goes on")
    assert instructor.process.returncode == 0
    ends(trainee, "End the exercise?")
    trainee.wait_for(lambda: b"highest load" in trainee.output)
    text = trainee.output.decode(errors="replace")
    given = both.done.with_suffix(".yaml")
    assert f"The exercise as it was given: {given}" in text
    assert "marked: saw it late" in text
    assert "time stood for" in text
    exercise = read_exercise(given)
    assert [type(each) for each in exercise.instructed.injections] == [Gust, Message]
    attempt = read_attempt(both.done)
    assert attempt is not None
    assert (attempt.exam, attempt.pauses, attempt.paused_s, attempt.refused) == (True, 0, 0.0, 0)
    debriefed = both.run("debrief", str(given), str(both.done))
    assert debriefed.returncode == 0
    assert "marked: saw it late" in debriefed.stdout


@pytest.mark.slow
def test_a_trainee_goes_on_when_the_instructor_is_killed(both: Both) -> None:
    """Time that stood goes on by itself, and an instructor may come again."""
    trainee = both.trainee()
    instructor = both.instructor()
    instructor.type(" ")
    trainee.wait_for(lambda: trainee.shows("TIME STANDS"))
    instructor.process.send_signal(signal.SIGKILL)
    instructor.process.wait()
    trainee.wait_for(lambda: not trainee.shows("TIME STANDS"))
    trainee.wait_for(lambda: trainee.shows("EXERCISE ×1"))
    again = both.instructor()
    injects(again, "part 3")
    trainee.wait_for(lambda: trainee.shows("PARTED"))
    kinds = [row["row"] for row in both.rows()]
    assert kinds == ["begun", "frozen", "went_on", "injected"]


@pytest.mark.slow
def test_the_instructor_says_that_the_trainee_was_killed(both: Both) -> None:
    """What was shown is in the attempt's file; both files are written from it, and so comes a debrief."""
    trainee = both.trainee()
    instructor = both.instructor()
    injects(instructor, "gust 34 from 205 for 10 min")
    typed(trainee, "t", "initials", "out 0.4\tTK")
    trainee.wait_for(lambda: trainee.shows("Will order"))
    trainee.type("\r")
    trainee.wait_for(lambda: trainee.shows("Line 2 slacked 0.40 m"))  # what is said once it was taken
    trainee.process.send_signal(signal.SIGKILL)
    trainee.process.wait()
    instructor.wait_for(lambda: instructor.shows("THE TRAINEE'S CONSOLE IS GONE"))
    ends(instructor, "Close this console?")
    instructor.wait_for(lambda: b"Debrief: alongside debrief" in instructor.output)
    kept = Path(both.home["XDG_STATE_HOME"]) / "alongside" / "exercises"
    (given,), (actions,) = kept.glob("*.yaml"), kept.glob("*.jsonl")
    exercise = read_exercise(given)
    (order,) = read_actions(actions, exercise)
    assert getattr(order.action, "paid_out", None) == 0.4
    assert len(exercise.instructed.injections) == 1
    debriefed = both.run("debrief", str(given), str(actions))
    assert debriefed.returncode == 0, debriefed.stderr
    assert "gust of 34 kn" in debriefed.stdout
    listed = both.run("instruct", "--list")
    assert "broken off" in listed.stdout


@pytest.mark.slow
def test_nobody_to_instruct(both: Both) -> None:
    alone = both.run("instruct")
    assert alone.returncode == 2
    assert "--station" in alone.stderr
    unknown = both.run("instruct", "nothing")
    assert unknown.returncode == 2
    assert "no attempt of yours" in unknown.stderr
    assert both.run("instruct", "--list").stdout == "No attempts\n"
    headless = both.run("exercise", str(both.exercise), "--station", "--headless")
    assert headless.returncode == 2
    assert "--station" in headless.stderr
