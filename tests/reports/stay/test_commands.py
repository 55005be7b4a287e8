"""The commands `report` and `lives`: what they print, write and refuse."""

import json
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.record.layout import JOURNAL


@pytest.mark.slow
def test_report_by_folder_and_by_journal(
    flood: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["report", str(flood)]) == 0
    assert capsys.readouterr().out == "record.html\n"
    assert main(["report", str(flood / JOURNAL), "--out", "b.html", "--csv", "tables"]) == 0
    assert Path("b.html").read_bytes() == Path("record.html").read_bytes()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["b.html", "record.html", "tables"]


def test_what_is_no_record_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "empty").mkdir()
    assert main(["report", str(tmp_path / "empty")]) == 2
    assert "no record, expected a folder with journal.sqlite in it" in capsys.readouterr().err
    (tmp_path / "damaged").mkdir()
    (tmp_path / "damaged" / JOURNAL).write_bytes(b"SQLite format 3\0" + b"x" * 5000)
    for command in ("report", "lives"):
        assert main([command, str(tmp_path / "damaged")]) == 2
        assert "damaged" in capsys.readouterr().err


def test_a_damaged_page_of_the_journal_is_named(
    flood: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Cut off in the middle, as a copy from a full stick would be."""
    (tmp_path / "cut").mkdir()
    whole = (flood / JOURNAL).read_bytes()
    (tmp_path / "cut" / JOURNAL).write_bytes(whole[: len(whole) // 2])
    assert main(["report", str(tmp_path / "cut"), "--out", str(tmp_path / "page.html")]) == 2
    assert "expected a record that can be read" in capsys.readouterr().err
    assert not (tmp_path / "page.html").exists()


def test_places_that_cannot_be_written_are_refused(
    flood: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["report", str(flood), "--out", str(tmp_path / "none" / "page.html")]) == 2
    assert "expected a file that can be written" in capsys.readouterr().err
    journal = (flood / JOURNAL).read_bytes()
    assert main(["report", str(flood), "--out", str(flood / JOURNAL)]) == 2
    assert "a part of the record" in capsys.readouterr().err
    assert (flood / JOURNAL).read_bytes() == journal


@pytest.mark.slow
@pytest.mark.parametrize(
    ("command", "library"), [("report", "jinja2"), ("report", "matplotlib"), ("lives", "rainflow")]
)
def test_a_missing_library_is_named_in_one_line(flood: Path, command: str, library: str) -> None:
    """As where only the program itself is installed."""
    code = (
        f"import sys; sys.modules[{library!r}] = None\n"
        f"from alongside.cli.main import main; sys.exit(main([{command!r}, {str(flood)!r}]))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr == (
        f"alongside {command}: {library} not installed, expected the extra 'report': "
        "pip install 'alongside[report]'\n"
    )


def test_lives_are_printed_and_written(
    flood: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    names = ["--csv", str(tmp_path / "l.csv"), "--json", str(tmp_path / "l.json")]
    assert main(["lives", str(flood), *names]) == 0
    printed = capsys.readouterr().out
    assert "<b>P1</b>" in printed
    lives = json.loads((tmp_path / "l.json").read_text(encoding="utf-8"))["lives"]
    assert [(one["key"].split(",")[0], one["lines"]) for one in lives] == [
        ("<b>P1</b>", ["1"]),
        ("polyester", ["2"]),
        ("polyester", ["3"]),
    ]
    assert all(one["stays"] == 1 and one["hours_known"] < one["hours_made_fast"] == 0.4997 for one in lives)
    assert (tmp_path / "l.csv").read_bytes().count(b"\r\n") == 4
    assert main(["lives", str(flood), str(flood / JOURNAL)]) == 2
    assert "each record once" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["report", "lives", "handover"])
def test_a_damaged_row_of_the_journal_is_named_with_its_record(
    command: str, flood: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """SQLite finds the page sound; what stands in it is none of ours."""
    copy = tmp_path / "spoilt"
    shutil.copytree(flood, copy)
    with closing(sqlite3.connect(copy / JOURNAL)) as journal:
        journal.execute("UPDATE runs SET columns = '{'")
        journal.commit()
    assert main([command, str(copy)]) == 2
    assert capsys.readouterr().err.startswith(f"{copy}: Columns: no JSON")
