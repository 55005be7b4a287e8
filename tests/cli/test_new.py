"""`alongside new` in a real terminal: to the end, killed and gone on with, each answer wrong once."""

import os
import signal
from pathlib import Path
from typing import Final

import pytest

from alongside.cli.main import main
from alongside.stay.read import read_stay
from tests.cli.prompts import Prompts
from tests.reports.new_stay.filled import written
from tests.reports.new_stay.sheets import COASTER, JETTY, typed

NO_WORD: Final = "x" * 41
KILLED_AFTER: Final = (3, 20, 47)


@pytest.mark.slow
def test_to_the_end_killed_and_gone_on_with(tmp_path: Path) -> None:
    """Killed between answers and while one is being typed: it goes on at the same question, and the files are
    those of a run that was not."""
    answers = typed(COASTER)
    stay = tmp_path / "stay.yaml"
    given = 0
    for stop in (*KILLED_AFTER, len(answers)):
        with Prompts(["new", str(stay), "--plain"]) as asked:
            asked.wait_for_prompt()
            if given:
                assert f"Goes on where it was left: {given} answers" in asked.text
            for text in answers[given:stop]:
                asked.answer(text)
            given = stop
            if stop < len(answers):
                asked.write("12 half typ")
                os.kill(asked.process.pid, signal.SIGKILL)
                asked.process.wait()
                assert not stay.exists()
            else:
                asked.answer("")
                assert asked.ends() == 0
    assert "Next: alongside check" in asked.text
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "berth-fenwater-grain-quay.yaml",
        "ropes-brannoc-wey.yaml",
        "ship-brannoc-wey.yaml",
        "stay.answers.json",
        "stay.yaml",
    ]
    assert len(read_stay(stay).lines) == 6


@pytest.mark.slow
def test_each_answer_wrong_once(tmp_path: Path) -> None:
    """What is refused is refused in words, the prompt stands again, and the right answer goes on."""
    stay = tmp_path / "stay.yaml"
    with Prompts(["new", str(stay), "--plain"]) as asked:
        asked.wait_for_prompt()
        for key, texts in COASTER:
            if key not in ("ship", "berth"):  # any word is a name
                prompt = asked.prompt()
                asked.answer(NO_WORD)
                assert "Not taken: " in asked.last, key
                assert ", expected " in " ".join(asked.last.split()), key
                assert asked.prompt() == prompt
            for text in texts:
                asked.answer(text)
        asked.answer("")
        assert asked.ends() == 0
    assert stay.exists()


@pytest.mark.slow
def test_from_a_pipe_and_answers_that_end_early(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = iter(typed(JETTY)[:30])

    def next_answer(_prompt: str) -> str:
        try:
            return next(answers)
        except StopIteration:
            raise EOFError from None

    monkeypatch.setattr("builtins.input", next_answer)
    assert main(["new", str(tmp_path / "stay.yaml"), "--plain"]) == 2
    said = capsys.readouterr()
    assert "answers end at Heading alongside" in said.err
    assert "30 answers in" in said.out
    answers = iter([*typed(JETTY)[30:], "y"])
    assert main(["new", str(tmp_path / "stay.yaml"), "--plain"]) == 0
    assert main(["check", str(tmp_path / "stay.yaml")]) == 0


def test_a_file_that_is_there_is_not_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "stay.yaml").write_text("mine")
    assert main(["new", str(tmp_path / "stay.yaml"), "--plain"]) == 2
    assert "not written over, expected a new name such as stay-2.yaml" in capsys.readouterr().err
    assert (tmp_path / "stay.yaml").read_text() == "mine"
    assert [path.name for path in tmp_path.iterdir()] == ["stay.yaml"]


@pytest.mark.parametrize(
    ("name", "what"), [("stay.txt", "ends in .yaml"), ("none/stay.yaml", "there is no folder")]
)
def test_a_place_that_cannot_be_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, what: str
) -> None:
    assert main(["new", str(tmp_path / name), "--plain"]) == 2
    assert what in capsys.readouterr().err


@pytest.mark.slow
def test_what_is_written_begins_a_watch(tmp_path: Path) -> None:
    stay = written(COASTER, tmp_path)
    with Prompts(["watch", stay.file, "--no-record"]) as watch:
        watch.wait_for("Brannoc Wey")
        watch.wait_for("breast")
        assert watch.process.poll() is None


@pytest.mark.slow
def test_rows_on_a_narrow_terminal_are_broken_between_words(tmp_path: Path) -> None:
    width = 60
    with Prompts(["new", str(tmp_path / "stay.yaml"), "--plain"], (width, 30)) as asked:
        asked.wait_for_prompt()
        for text in typed(COASTER)[:3]:
            asked.answer(text)
        rows = [row.rstrip("\r") for row in asked.text.splitlines()]
    assert max(map(len, rows)) <= width
    said = " ".join(asked.text.split())
    assert "What are her length over all, length between perpendiculars, breadth, and depth from keel" in said
