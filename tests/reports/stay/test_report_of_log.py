"""`report STAY LOG`: the page of a log without a record of it."""

import csv
import tempfile
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.stay.read import read_stay
from tests.berth import START, gauges, write_stay
from tests.record.kept import FLOOD_TEXT, tide_at
from tests.reports.stay.records import recorded


@pytest.fixture
def log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Ten minutes of a fast flood; the temporary files of the machine lie in `spare`."""
    path = tmp_path / "flood.log"
    path.write_bytes(b"".join(gauges(START + second, tide_at(second)) for second in range(600)))
    (tmp_path / "spare").mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "spare"))
    monkeypatch.chdir(tmp_path)
    return path


def table(folder: Path, name: str) -> list[list[str]]:
    with (folder / name).open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


def test_a_stay_and_its_log_give_the_page_of_a_record(
    log: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ours: the tables are those of a watch on the same log that did nothing."""
    stay = write_stay(tmp_path, FLOOD_TEXT)
    assert main(["report", str(stay), str(log), "--csv", "tables"]) == 0
    assert capsys.readouterr().out == "flood.html\n"
    record = recorded(read_stay(stay), log, tmp_path / "record", {})
    assert main(["report", str(record), "--csv", "watched"]) == 0
    for name in ("states.csv", "lines.csv"):
        assert table(tmp_path / "tables", name) == table(tmp_path / "watched", name)
    events = [row[1] for row in table(tmp_path / "tables", "events.csv")[1:]]
    assert (events[0], events[-1]) == ("started", "stopped")
    assert "made_fast" in events
    page = (tmp_path / "flood.html").read_text(encoding="utf-8")
    assert "played from the log flood.log" in page
    assert list((tmp_path / "spare").iterdir()) == [], "nothing of the record is left"


def test_the_same_files_give_the_same_page(log: Path, tmp_path: Path) -> None:
    stay = write_stay(tmp_path, FLOOD_TEXT)
    assert main(["report", str(stay), str(log), "--out", "a.html"]) == 0
    assert main(["report", str(stay), str(log), "--out", "b.html"]) == 0
    assert Path("a.html").read_bytes() == Path("b.html").read_bytes()


@pytest.mark.parametrize(
    ("made", "name", "says"),
    [(None, "none.log", "none.log"), ("no sentence\n", "odd.log", "no line with a time")],
)
def test_a_log_that_holds_nothing_is_refused(
    log: Path, tmp_path: Path, made: str | None, name: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    if made is not None:
        (tmp_path / name).write_text(made)
    assert main(["report", str(write_stay(tmp_path, FLOOD_TEXT)), name]) == 2
    assert says in capsys.readouterr().err
    assert not list(tmp_path.glob("*.html"))


def test_its_inputs_are_kept(log: Path, tmp_path: Path) -> None:
    stay = write_stay(tmp_path, FLOOD_TEXT)
    before = log.read_bytes(), stay.read_bytes()
    for out in (log, stay):
        assert main(["report", str(stay), str(log), "--out", str(out)]) == 2
    assert (log.read_bytes(), stay.read_bytes()) == before


def test_a_replay_can_put_on_record_what_a_watch_would_have(
    log: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ours: its report is that of the log, and hand-over and lives read it as any other record."""
    stay = write_stay(tmp_path, FLOOD_TEXT)
    replay = ["replay", str(stay), str(log), "--headless"]
    assert main([*replay, "--record", "kept", "--events", "a.jsonl"]) == 0
    assert main([*replay, "--events", "b.jsonl"]) == 0
    assert Path("a.jsonl").read_bytes() == Path("b.jsonl").read_bytes(), "to keep it changes nothing"
    assert main(["report", "kept", "--csv", "of_record"]) == 0
    assert main(["report", str(stay), str(log), "--out", "b.html", "--csv", "of_log"]) == 0
    for name in ("states.csv", "lines.csv", "events.csv"):
        assert table(tmp_path / "of_record", name) == table(tmp_path / "of_log", name)
    capsys.readouterr()
    assert main(["handover", "kept"]) == 0
    assert "HAND-OVER" in capsys.readouterr().out
    assert main(["lives", "kept"]) == 0
    assert "of WLL" in capsys.readouterr().out


def test_a_record_of_a_replay_is_a_new_one(
    log: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    stay = write_stay(tmp_path, FLOOD_TEXT)
    replay = ["replay", str(stay), str(log), "--record"]
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter.txt").write_text("dear owner")
    for place in ("mine", "mine/letter.txt"):
        assert main([*replay, place, "--headless"]) == 2
        assert "expected a new folder" in capsys.readouterr().err
    assert [path.name for path in (tmp_path / "mine").iterdir()] == ["letter.txt"]
    assert main([*replay, "other"]) == 2
    assert "--headless" in capsys.readouterr().err
    assert not (tmp_path / "other").exists()
    (tmp_path / "empty").mkdir()
    assert main([*replay, "empty", "--headless"]) == 0
