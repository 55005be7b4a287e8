"""The ropes' history as an officer keeps it: by commands alone."""

import csv
import json
import re
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.stay.read import read_stay
from tests.berth import START, STAY_TEXT, gauges, write_stay
from tests.reports.stay.browser import dom, find_browser, printed, trap
from tests.reports.stay.records import recorded

TWO = (
    STAY_TEXT.replace('id: "2", role: breast', 'id: "2", serial: "PL-2", role: breast')
    .replace("bollard: B3, rope: polyester,", 'bollard: B3, serial: "PL-3", rope: polyester,'
             ' tail: {rope: polyester, length: 8, serial: "NT-3"},')
)  # fmt: skip


@pytest.fixture(scope="module")
def world(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A stay with serial numbers, a log of it, and the record of that."""
    folder = tmp_path_factory.mktemp("ropes")
    stay = write_stay(folder, TWO)
    (folder / "stay.log").write_bytes(b"".join(gauges(START + second, 2.0) for second in range(120)))
    recorded(read_stay(stay), folder / "stay.log", folder / "record")
    return folder


def ropes(*words: object) -> int:
    return main(["ropes", *map(str, words)])


def test_a_record_and_its_log_are_one_stay(
    world: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "ropes.db"
    assert ropes(path, "--record", world / "record") == 0
    assert "3 ropes: kept\n  no serial number, not kept: line 1\n" in capsys.readouterr().out
    assert ropes(path, "--log", world / "stay.yaml", world / "stay.log") == 0
    assert "counts once" in capsys.readouterr().out
    assert ropes(path) == 0
    rows = capsys.readouterr().out.splitlines()
    assert [row.split()[:2] for row in rows[1:4]] == [["NT-3", "tail"], ["PL-2", "rope"], ["PL-3", "rope"]]


def test_from_the_template_to_what_is_due(
    world: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The template of a stay file filled in: every row of it is taken as it stands."""
    path, form = tmp_path / "ropes.db", tmp_path / "entries.yaml"
    assert ropes(path, "--template", form) == 2, "whose ropes?"
    assert ropes(path, "--stay", world / "stay.yaml", "--template", form) == 0
    text = re.sub(r"(?m)^# - ", "  - ", form.read_text(encoding="utf-8"))
    text = text.replace("\nby:\n", "\nby: TK\n").replace("\nday: \n", "\nday: 2026-01-05\n")
    form.write_text(text, encoding="utf-8")
    assert ropes(path, "--entries", form) == 0
    said = capsys.readouterr().out
    assert said.count(", kept\n") == 9
    assert ropes(path, "PL-2", "inspected", "by=AB", "findings=chafed, cut yarns", "residual_strength=0.7",
                 "how=judged", "day=2026-01-06") == 0  # fmt: skip
    assert "RETIRE PL-2: strength 70 % of MBL (limit 75 %)" in capsys.readouterr().out
    assert ropes(path, "PL-2") == 0
    assert "inspected: chafed, cut yarns; 70 % left (judged), AB" in capsys.readouterr().out
    assert ropes(path, "PL-9") == 2
    assert "no rope 'PL-9', expected one such as PL-3 and PL-2" in capsys.readouterr().err
    assert ropes(path, "--template", form) == 2, "a filled-in template is not written over"


def test_what_is_due_on_a_day_to_come(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "ropes.db"
    words = ("by=TK", "day=2026-01-05")
    assert ropes(path, "PL-1", "certificate", "mbl_kn=65 t", "inspect_months=12", *words) == 0
    assert ropes(path, "PL-1", "fitted", "where=winch 1", *words) == 0
    capsys.readouterr()
    assert ropes(path, "--on", "2027-01-04") == 0
    assert "INSPECT" not in capsys.readouterr().out
    assert ropes(path, "--on", "2027-01-05") == 0
    assert "INSPECT PL-1: due 2027-01-05 (every 12 months" in capsys.readouterr().out
    assert ropes(path, "--on", "soon") == 2


def test_a_clock_that_is_before_the_entries(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "ropes.db"
    assert ropes(path, "PL-1", "fitted", "where=winch 1", "by=TK", "day=2026-01-05") == 0
    monkeypatch.setattr("alongside.cli.ropes.time.time", lambda: 946_684_800.0)  # 2000-01-01
    assert ropes(path) == 0
    assert "check the clock: it says 2000-01-01, the last entry is of 20" in capsys.readouterr().err
    assert ropes(path, "PL-1", "inspected", "findings=chafed", "by=TK", "day=2026-01-06") == 2
    assert (
        "2026-01-06 is yet to come (today is 2000-01-01 at the latest by the clock" in capsys.readouterr().err
    )


def test_wrong_words(world: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "ropes.db"
    for words, said in (
        (("PL-1", "fitted", "where"), "'where', expected FIELD=VALUE"),
        (("PL-1", "looked", "by=TK"), "'looked' is not known here, expected certificate"),
        (("--withdraw", "1"), "no entry 1"),
        (("--stay", world / "stay.yaml"), "expected both"),
        (("--record", tmp_path), "no record"),
    ):
        assert ropes(path, *words) == 2
        assert said in capsys.readouterr().err, words


def test_a_database_is_no_place_in_a_record(world: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = sorted(path.name for path in (world / "record").iterdir())
    assert ropes(world / "record" / "ropes.db", "PL-1", "fitted", "where=aft", "by=TK") == 2
    assert ropes(world / "record" / "journal.sqlite", "PL-1", "fitted", "where=aft", "by=TK") == 2
    assert "record" in capsys.readouterr().err
    assert sorted(path.name for path in (world / "record").iterdir()) == before


def test_the_sheet_as_json_and_table_say_the_same(world: Path, tmp_path: Path) -> None:
    path = tmp_path / "ropes.db"
    assert ropes(path, "--record", world / "record") == 0
    assert ropes(path, "PL-2", "inspected", "findings=chafed", "residual_strength=0.8", "how=tested",
                 "by=TK", "day=2026-05-01") == 0  # fmt: skip
    assert ropes(path, "--csv", tmp_path / "s.csv", "--json", tmp_path / "s.json") == 0
    document = json.loads((tmp_path / "s.json").read_text(encoding="utf-8"))
    with (tmp_path / "s.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["serial"] for row in rows] == [each["serial"] for each in document["ropes"]]
    one = document["ropes"][1]
    assert (one["residual_strength"], one["wll_kn"], one["strength_kn"]) == (0.8, 80.0, 160.0)
    assert (float(rows[1]["residual_strength"]), float(rows[1]["wll_kn"])) == (0.8, 80.0)
    assert one["uses"][0]["line"] == "2"


@pytest.mark.slow
def test_the_sheet_in_a_browser_fetches_nothing_and_prints(world: Path, tmp_path: Path) -> None:
    """Names that are markup stand as text; the page fits upright A4."""
    browser = find_browser()
    if browser is None:
        pytest.skip("no browser of the Chromium family")
    path, page = tmp_path / "ropes.db", tmp_path / "sheet.html"
    assert ropes(path, "--record", world / "record") == 0
    odd = "<img src=http://127.0.0.1/x>"
    assert ropes(path, odd, "fitted", "where=</td><script>alert(1)</script>", "by=TK") == 0
    assert ropes(path, "--sheet", page) == 0
    with trap() as caught:
        text = dom(browser, page, caught.port, tmp_path / "profile")
        pdf = printed(browser, page, caught.port, tmp_path / "profile", tmp_path / "sheet.pdf")
        assert caught.by_page == []
    assert "&lt;img src=http://127.0.0.1/x&gt;" in text
    assert "<script>" not in text
    assert re.search(rb"/MediaBox \[0 0 59[45][.\d]* 84[12][.\d]*\]", pdf), "A4 upright"
