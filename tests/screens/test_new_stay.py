"""The form of `alongside new` on a pseudo-terminal: answered to the end by keys typed ahead, killed and
gone on with, refusing in words, drawing as it grows."""

import os
import signal
from pathlib import Path

import pyte
import pytest

from alongside.reports.new_stay.kept import keep, kept
from alongside.reports.new_stay.sheet import Shelf
from alongside.stay.read import read_stay
from tests.cli.prompts import Prompts
from tests.reports.new_stay.filled import NOW, filled, written
from tests.reports.new_stay.sheets import COASTER, typed

ANSWERS = typed(COASTER)
SIZES = [(80, 24), (120, 30), (160, 50)]


class Form(Prompts):
    """The form on a screen as pyte understands it."""

    def __init__(self, stay: Path, size: tuple[int, int] = (80, 24)) -> None:
        self.screen = pyte.Screen(*size)
        self.stream = pyte.ByteStream(self.screen)
        super().__init__(["new", str(stay)], size)

    def took(self, data: bytes) -> None:
        # pyte does not know the private modes and key protocols that begin with these.
        self.stream.feed(data.replace(b"\x1b[>", b"\x1b[?").replace(b"\x1b[<u", b""))

    def shows(self, text: str) -> bool:
        """Return whether a text stands on the screen, over the ends of rows too."""
        return text in " ".join(" ".join(self.screen.display).split())

    def wait_until_shown(self, text: str) -> None:
        self.until(lambda: self.shows(text))


def begun(folder: Path, answers: int) -> Path:
    """Return the stay file to be, with so many answers kept."""
    keep(filled(COASTER, before=answers), folder / "stay.yaml")
    return folder / "stay.yaml"


@pytest.mark.slow
def test_answered_to_the_end_killed_and_gone_on_with(tmp_path: Path) -> None:
    """Keys come in one burst, several answers ahead of the screen: each belongs to its question. What was
    written is what the same answers make without a form."""
    stay = begun(tmp_path, 28)
    with Form(stay) as form:
        form.wait_until_shown("28 answers so far")
        form.write("".join(f"{text}\r" for text in ANSWERS[28:35]))
        form.wait_until_shown("35 answers so far")
        form.write("half typ")
        form.wait_until_shown("half typ")
        os.kill(form.process.pid, signal.SIGKILL)
    assert kept(stay, Shelf(), NOW).answers == filled(COASTER, before=35).answers
    with Form(stay) as form:
        form.wait_until_shown("35 answers so far")
        assert not form.shows("half typ")
        form.write("".join(f"{text}\r" for text in ANSWERS[35:]))
        form.wait_until_shown("Enter writes these files")
        form.write("\r")
        assert form.ends() == 0
    assert "Next: alongside check" in form.text
    (tmp_path / "plain").mkdir()
    plain = written(COASTER, tmp_path / "plain")
    for path in (tmp_path / "plain").iterdir():
        assert (tmp_path / path.name).read_text() == path.read_text()
    assert len(read_stay(stay).lines) == len(plain.lines)


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_question_help_and_drawing_have_room(tmp_path: Path, size: tuple[int, int]) -> None:
    stay = begun(tmp_path, ANSWERS.index("6 stern A3 Q1"))
    with Form(stay, size) as form:
        form.wait_until_shown("tension ± 30 %")
        form.wait_until_shown("↑ back")
        for text in (
            "Which lines are out",
            "such as: 1 head F1 B1",
            "find it: mooring plan",
            "Enter ends",
            "Lines 6>",
        ):
            assert form.shows(text), text
        assert form.shows("Section: line 5, A2 to Q2")
        drawn = [row for row in form.screen.display if any("⠀" < letter <= "⣿" for letter in row)]
        assert len(drawn) >= 8
        assert all(form.shows(name) for name in ("Q1", "Q2", "Q5", "Q6"))
        assert "↑ back" in form.screen.display[-1]


@pytest.mark.slow
def test_a_wrong_answer_is_refused_in_words_and_the_prompt_stands_again(tmp_path: Path) -> None:
    stay = begun(tmp_path, ANSWERS.index("6 stern A3 Q1"))
    with Form(stay) as form:
        form.wait_until_shown("Lines 6>")
        form.write("6 stern A3 Q9\r")
        form.wait_until_shown("Not taken: Lines: there is no bollard Q9, expected")
        form.wait_until_shown("Lines 6> 6 stern A3 Q9")
        form.write("\x7f1\r")
        form.wait_until_shown("Lines 7>")
        assert not form.shows("Not taken")


@pytest.mark.slow
def test_back_and_forward_by_arrows_and_escape_keeps(tmp_path: Path) -> None:
    stay = begun(tmp_path, 10)
    with Form(stay) as form:
        form.wait_until_shown("10 answers so far")
        for _ in range(9):
            form.write("\x1b[A")
        form.wait_until_shown("Ship> Brannoc Wey")
        form.write("\x1b[B")
        form.wait_until_shown("Side> starboard")
        form.write("\x1b")
        assert form.ends() == 0
    assert "Nothing written; answers are in" in form.text
    left = kept(stay, Shelf(), NOW)
    assert left.answers == filled(COASTER, before=10).answers
    assert left.at is not None
    assert left.at.key == "side"


@pytest.mark.slow
def test_a_signal_ends_it_with_all_answers_kept(tmp_path: Path) -> None:
    stay = begun(tmp_path, 10)
    with Form(stay) as form:
        form.wait_until_shown("10 answers so far")
        os.kill(form.process.pid, signal.SIGTERM)
        assert form.ends() == 130
    assert kept(stay, Shelf(), NOW).answers == filled(COASTER, before=10).answers


@pytest.mark.slow
def test_stopped_and_gone_on_with_it_takes_answers(tmp_path: Path) -> None:
    stay = begun(tmp_path, 10)
    with Form(stay) as form:
        form.wait_until_shown("10 answers so far")
        os.kill(form.process.pid, signal.SIGSTOP)
        os.kill(form.process.pid, signal.SIGCONT)
        form.write("\x1b[A")
        form.wait_until_shown("forward")
        form.write("\x1b")
        assert form.ends() == 0


@pytest.mark.slow
def test_it_ends_with_its_terminal(tmp_path: Path) -> None:
    """No signal comes where the process has no terminal of its own to lose."""
    form = Form(begun(tmp_path, 3))
    form.wait_until_shown("3 answers so far")
    os.close(form.master)
    assert form.process.wait(30.0) == 130
    assert kept(tmp_path / "stay.yaml", Shelf(), NOW).answers == filled(COASTER, before=3).answers
