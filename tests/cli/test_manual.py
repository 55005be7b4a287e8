"""The manual at the command line: listed, shown, searched."""

import os
import pty
import subprocess
import sys

import pytest
from rich.cells import cell_len

from alongside.cli.main import main
from alongside.reports.manual_pages import page, pages

MANUAL = [sys.executable, "-m", "alongside", "manual"]


def shown(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(["manual", *arguments]) == 0
    return capsys.readouterr().out


def test_each_page_is_listed_on_a_line(capsys: pytest.CaptureFixture[str]) -> None:
    rows = shown(capsys).splitlines()
    assert [row.split()[0] for row in rows] == list(pages())
    assert all(len(row.split()) > 2 for row in rows)
    assert all(cell_len(row) <= 100 for row in rows)


@pytest.mark.parametrize("name", pages())
def test_a_page_is_plain_text_of_at_most_100_columns(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    text = shown(capsys, name)
    assert "\x1b" not in text
    assert max(map(cell_len, text.splitlines())) <= 100
    missing = {word for word in page(name).split() if word.isalpha()} - set(text.replace("│", " ").split())
    assert len(missing) < 5, "words got lost"


def test_a_page_has_colours_on_a_terminal() -> None:
    master, slave = pty.openpty()
    environment = {**os.environ, "TERM": "xterm-256color", "COLUMNS": "80"}
    environment.pop("NO_COLOR", None)
    with subprocess.Popen([*MANUAL, "record"], stdout=slave, env=environment) as process:
        os.close(slave)
        drawn = b""
        try:
            while part := os.read(master, 65536):
                drawn += part
        except OSError:
            pass  # how a terminal says that its other end is closed
        os.close(master)
    assert process.returncode == 0
    assert b"\x1b[" in drawn


def test_a_word_is_found_with_page_and_heading(capsys: pytest.CaptureFixture[str]) -> None:
    rows = shown(capsys, "--find", "Bollard").splitlines()
    assert all("bollard" in row.lower() and row.count(": ") >= 2 for row in rows)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["ahaed"], "perhaps 'ahead'"),
        (["--find", "no such word"], "does not say"),
        (["ahead", "--find", "x"], "not both"),
    ],
)
def test_what_is_not_there_is_said(
    arguments: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["manual", *arguments]) == 2
    output = capsys.readouterr()
    assert says in output.err
    assert not output.out
