"""What check, report and hand-over say of a stay whose file names the ropes' history."""

import os
from datetime import date
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.record.entries import stay_hash
from alongside.reports.remarks.text import check_rows
from alongside.reports.ropes.in_stay import history_of_stay, ropes_due
from alongside.reports.ropes.keeping import keep
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from tests.berth import START, STAY_TEXT, gauges, write_stay
from tests.record.ropes.kept import NOW, entry
from tests.reports.stay.records import recorded

TEXT = (
    STAY_TEXT.replace('id: "2", role: breast', 'id: "2", serial: "PL-2", role: breast').replace(
        "bollard: B3, rope: polyester,",
        'bollard: B3, serial: "PL-3", rope: polyester, tail: {rope: polyester, length: 8, serial: "NT-3"},',
    )
    + "ropes_history: ropes.db\n"
)
TODAY = date(2026, 11, 29)


def remarks(stay: Stay, today: date = TODAY) -> list[str]:
    rows, _ = check_rows(stay, today)
    return [row.partition(": ")[2] for row in rows if ": remark: " in row]


def enter(
    folder: Path, serial: str, deed: str = "inspected", day: str = "2026-02-01", **fields: object
) -> None:
    keep(folder / "ropes.db", entries=[entry(serial, deed, day, **fields)], now=NOW, who="TK")


@pytest.fixture
def stay(tmp_path: Path) -> Stay:
    """A stay of which PL-2 is in the history, with a certificate."""
    enter(tmp_path, "PL-2", "certificate", mbl_kn=200.0)
    return read_stay(write_stay(tmp_path, TEXT))


def test_check_says_what_differs_and_what_to_write(stay: Stay, tmp_path: Path) -> None:
    assert not [row for row in remarks(stay) if row.startswith("lines[1]")]
    assert "lines[2].serial: remark: line 3: PL-3 is not in ropes.db: enter its certificate" in remarks(stay)
    assert any("lines[0]: remark: line 1: no serial number" in row for row in remarks(stay))
    enter(tmp_path, "PL-2", residual_strength=0.8, how="tested")
    differs = (
        "line 2: 100 % of MBL is taken as left, 80 % was tested 2026-02-01: write residual_strength: 0.8"
    )
    assert f"lines[1].residual_strength: remark: {differs}" in remarks(stay)
    written = read_stay(write_stay(tmp_path, TEXT.replace('"PL-2",', '"PL-2", residual_strength: 0.8,')))
    assert written.lines[1].rope.wll_kn == 80.0
    assert not [row for row in remarks(written) if row.startswith("lines[1]")], "written as it said"


def test_check_says_what_is_due(stay: Stay, tmp_path: Path) -> None:
    enter(tmp_path, "PL-2", findings=["parted"], next="2026-11-29")
    said = remarks(stay)
    assert "lines[1].serial: remark: line 2: retire the rope: found parted 2026-02-01" in said
    assert any("line 2: inspect the rope: due 2026-11-29 (entered 2026-02-01)" in row for row in said)
    rows, _ = check_rows(stay, TODAY)
    assert any(
        row.split() == ["2", "rope", "PL-2", "—", "10.2", "t", "2026-02-01", "2026-11-29", "—"]
        for row in rows
    )
    enter(tmp_path, "PL-2", "retired", "2026-02-02")
    assert "lines[1].serial: remark: line 2: the rope was retired 2026-02-02" in remarks(stay)
    enter(tmp_path, "PL-2", "certificate", "2026-02-03", mbl_kn=300.0)
    assert any("MBL 200 kN, 300 kN by the certificate of PL-2" in row for row in remarks(stay))


def test_the_history_changes_no_figure_of_the_stay(stay: Stay, tmp_path: Path) -> None:
    """The file is read the same with it, without it, and with something else in its place."""
    before = stay_hash(stay)
    enter(tmp_path, "PL-2", residual_strength=0.1, how="tested")
    assert stay_hash(read_stay(tmp_path / "stay.yaml")) == before
    (tmp_path / "ropes.db").write_text("no database")
    assert stay_hash(read_stay(tmp_path / "stay.yaml")) == before
    assert any("ropes_history: remark: " in row and "is not a database" in row for row in remarks(stay))
    os.remove(tmp_path / "ropes.db")
    assert any("ropes_history: remark: " in row and "no database of ropes" in row for row in remarks(stay))
    assert not (tmp_path / "ropes.db").exists()
    assert main(["check", str(tmp_path / "stay.yaml")]) == 0
    assert main(["check", "--strict", str(tmp_path / "stay.yaml")]) == 2


def test_a_stay_that_names_none_has_none(tmp_path: Path) -> None:
    assert history_of_stay(read_stay(write_stay(tmp_path)), TODAY) is None


def test_what_was_entered_later_was_not_known_then(stay: Stay, tmp_path: Path) -> None:
    enter(tmp_path, "PL-2", day="2026-05-01", residual_strength=0.5, how="tested")
    assert ropes_due(stay, date(2026, 4, 29)) == ()
    assert ropes_due(stay, date(2026, 5, 1)) == ("RETIRE PL-2 (line 2): strength 50 % of MBL (limit 75 %)",)
    assert ropes_due(stay, date(2026, 4, 30)) != (), "1 May at the place may be 30 April in UTC"


def test_report_and_hand_over_of_a_record(
    stay: Stay, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "stay.log").write_bytes(b"".join(gauges(START + second, 2.0) for second in range(120)))
    record, page = recorded(stay, tmp_path / "stay.log", tmp_path / "record"), tmp_path / "page.html"
    assert main(["handover", str(record)]) == 0
    assert "ROPES DUE" not in capsys.readouterr().out, "only if due"
    enter(tmp_path, "PL-2", residual_strength=0.5, how="tested", next="2026-03-09")
    assert main(["handover", str(record)]) == 0
    due = "RETIRE PL-2 (line 2): strength 50 % of MBL (limit 75 %)"
    assert f"ROPES DUE\n  {due}\n" in capsys.readouterr().out
    assert main(["report", str(record), "--out", str(page)]) == 0
    text = page.read_text(encoding="utf-8")
    assert f"<li>{due}</li>" in text
    assert '<td class="t">50 %</td><td class="t">2026-03-09</td><td class="t">now</td>' in text
