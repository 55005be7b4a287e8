"""`alongside` with nothing to do: on a real terminal it offers a list, elsewhere it says how it is used."""

import termios
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from alongside.cli.first_run import choices, stay_files
from alongside.cli.main import main
from tests.berth import write_stay
from tests.screens.terminal import ROOT, OnTerminal

Opened = Callable[..., OnTerminal]


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Opened]:
    """What runs the command in an empty folder on a terminal of its own."""
    terminals: list[OnTerminal] = []
    environment = {"PYTHONPATH": str(ROOT / "console"), "XDG_STATE_HOME": str(tmp_path / "state")}

    def run(*arguments: str) -> OnTerminal:
        command = ["-m", "alongside", *arguments]
        terminals.append(OnTerminal(command, (100, 30), tmp_path, environment))
        return terminals[-1]

    yield run
    for terminal in terminals:
        terminal.close()


def ended(terminal: OnTerminal) -> int | None:
    terminal.wait_for(terminal.ended)
    return terminal.process.returncode


@pytest.mark.slow
@pytest.mark.parametrize("answer", ["\r", "1\r"])
def test_enter_plays_the_demo(opened: Opened, answer: str) -> None:
    terminal = opened()
    terminal.wait_for(lambda: terminal.shows("Number (Enter: 1, the demo"))
    assert terminal.shows("1  demo: a bulk carrier discharges")
    assert terminal.shows("new: write a stay file, stay.yaml, by asking")
    assert terminal.shows("example product_jetty: a tanker at a jetty")
    terminal.type(answer)
    terminal.wait_for(lambda: terminal.shows("REPLAY"))
    terminal.type("q")
    terminal.wait_for(lambda: terminal.shows("End the replay?"))
    terminal.type("y")
    assert ended(terminal) == 0


@pytest.mark.slow
def test_watch_without_a_file_offers_those_of_the_folder(opened: Opened, tmp_path: Path) -> None:
    write_stay(tmp_path)
    terminal = opened("watch")
    terminal.wait_for(lambda: terminal.shows("Number (Enter: 1, the demo"))
    assert terminal.shows("2  watch stay.yaml: the live console")
    assert terminal.shows("new: write a stay file, stay-2.yaml, by asking")
    terminal.type("99\r")
    terminal.wait_for(lambda: terminal.shows("'99' is not in the list, expected 1 to"))
    terminal.type("2\r")
    terminal.wait_for(lambda: terminal.shows("Test ship"))
    terminal.type("q")
    terminal.wait_for(lambda: terminal.shows("End the watch?"))
    terminal.type("y")
    assert ended(terminal) == 0
    assert list((tmp_path / "state" / "alongside" / "records").iterdir())


def test_q_leaves_with_nothing_done_and_the_terminal_as_it_was(opened: Opened, tmp_path: Path) -> None:
    terminal = opened()
    terminal.wait_for(lambda: terminal.shows("Number (Enter"))
    terminal.type("q\r")
    assert ended(terminal) == 0
    assert termios.tcgetattr(terminal.slave) == terminal.modes
    assert not list(tmp_path.iterdir())


def test_control_c_interrupts_the_question(opened: Opened) -> None:
    terminal = opened()
    terminal.wait_for(lambda: terminal.shows("Number (Enter"))
    terminal.process.send_signal(2)
    assert ended(terminal) == 130


@pytest.mark.parametrize("given", [[], ["watch"]])
def test_without_a_terminal_it_says_how_it_is_used(
    given: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main(given)
    assert ended.value.code == 2
    said = capsys.readouterr()
    assert "usage: alongside" in said.err
    assert not said.out


def test_only_files_that_look_like_a_stay_are_offered(tmp_path: Path) -> None:
    write_stay(tmp_path)
    (tmp_path / "ship.yaml").write_text("name: x\nloa: 84\n")
    (tmp_path / "odd.yaml").write_bytes(b"\xff\x00")
    (tmp_path / "folder.yaml").mkdir()
    assert stay_files(tmp_path) == [Path("stay.yaml")]
    assert stay_files(tmp_path / "nowhere") == []
    assert [each.command[0] for each in choices(tmp_path)][:3] == ["demo", "watch", "new"]


@pytest.mark.slow
def test_a_row_of_the_list_that_is_too_long_goes_on_below_its_words(tmp_path: Path) -> None:
    environment = {"PYTHONPATH": str(ROOT / "console"), "XDG_STATE_HOME": str(tmp_path / "state")}
    environment["COLUMNS"] = "80"  # what a shell exports, and the window is another by now
    terminal = OnTerminal(["-m", "alongside"], (60, 30), tmp_path, environment)
    try:
        terminal.wait_for(lambda: terminal.shows("Number (Enter: 1, the demo"))
        rows = [row.rstrip() for row in terminal.screen.display if row.startswith(" ") and row.strip()]
        assert any(not row[:5].strip() for row in rows), "one of them is too long"
        assert all(not row[:5].strip() or row[:5].strip().isdigit() for row in rows), rows
    finally:
        terminal.close()
