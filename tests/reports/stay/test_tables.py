"""Tables for other programs: RFC 4180, UTF-8, ISO 8601, the numbers of the journal."""

import csv
import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.record.reader import RecordReader
from alongside.reports.csv_files import write_csv, written
from alongside.reports.output_files import Outputs
from alongside.reports.stay.write import write_report
from alongside.units import iso_time, unix_time
from alongside.wording.safe import safe
from tests.reports.stay.conftest import NASTY

SEVEN_DIGITS = 1e-6


@pytest.fixture(scope="session")
def tables(flood: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("tables")
    write_report(flood, folder / "report.html", folder / "csv")
    return folder / "csv"


def read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def test_every_record_ends_with_crlf_and_has_all_cells(tables: Path) -> None:
    """RFC 4180, 2.1 and 2.4."""
    for path in sorted(tables.glob("*.csv")):
        text = path.read_bytes().decode("utf-8")
        assert text.endswith("\r\n")
        assert not re.search(r"[^\r]\n", text)
        with path.open(encoding="utf-8", newline="") as file:
            assert len({len(row) for row in csv.reader(file, strict=True)}) == 1
    assert [p.name for p in sorted(tables.iterdir())] == [
        "actions.csv",
        "columns.json",
        "events.csv",
        "lines.csv",
        "states.csv",
    ]


def test_states_are_the_even_ones_a_minute_apart(flood: Path, tables: Path) -> None:
    with RecordReader(flood) as record:
        kept = {
            iso_time(t): (s, i) for s in record.states(dense=False) for i, t in enumerate(s.time.tolist())
        }
    rows = read(tables / "states.csv")
    times = np.array([unix_time(row["time"]) for row in rows])
    assert np.diff(times).min() >= 50.0
    assert len(rows) >= 25
    for row in rows:
        states, at = kept[row["time"]]
        for name in ("tension_kn.2", "stretch_share.1", "vertical_deg.3"):
            value = float(states.numbers(name)[at])
            assert (row[name] == "") == np.isnan(value)
            if row[name]:
                assert float(row[name]) == pytest.approx(value, rel=SEVEN_DIGITS)
    assert any(row["tension_kn.2"] == row["stage.2"] == "" for row in rows), "not known is empty, never 0"


def test_events_are_all_there(flood: Path, tables: Path) -> None:
    with RecordReader(flood) as record:
        events = [event for _, event in record.events()]
    rows = read(tables / "events.csv")
    assert [(row["time"], row["event"], row["text"]) for row in rows] == [
        (iso_time(event.time), event.event, written(event.text)) for event in events
    ]


def test_actions_say_who(tables: Path) -> None:
    rows = read(tables / "actions.csv")
    assert [(row["action"], row["by"]) for row in rows] == [
        ("acknowledge", "TK"),
        ("tend line", "TK"),
        ("note", "R&B"),
    ]
    assert rows[1]["paid_out_m"] == "0.4"
    assert rows[2]["text"] == f"'=1+1 {NASTY}"


@pytest.mark.slow
def test_lines_have_peaks_and_times_in_stages(flood: Path, tables: Path) -> None:
    with RecordReader(flood) as record:
        pieces = list(record.states())
    time = np.concatenate([piece.time for piece in pieces])
    load = np.concatenate([piece.numbers("tension_kn.2") for piece in pieces])
    row = next(row for row in read(tables / "lines.csv") if row["line"] == "2")
    assert float(row["tension_kn"]) == pytest.approx(np.nanmax(load), rel=SEVEN_DIGITS)
    assert unix_time(row["tension_kn_at"]) == time[np.nanargmax(load)]
    between = np.diff(time)
    watched = between[between <= 30.0].sum()
    total = sum(float(row[name]) for name in ("normal_s", "caution_s", "warning_s", "alarm_s", "unknown_s"))
    assert total == pytest.approx(watched, abs=0.1)
    assert float(row["alarm_s"]) > 0.0


@given(st.lists(st.text(st.characters(codec="utf-8", exclude_characters="\0")), min_size=1, max_size=4))
def test_any_text_comes_back(tmp_path_factory: pytest.TempPathFactory, cells: list[str]) -> None:
    path = tmp_path_factory.getbasetemp() / "any.csv"
    path.unlink(missing_ok=True)
    with Outputs() as outputs:
        write_csv(outputs, path, [f"c{at}" for at in range(len(cells))], [cells])
    with path.open(encoding="utf-8", newline="") as file:
        (_, row) = csv.reader(file, strict=True)
    assert row == [written(cell) for cell in cells]
    assert [cell.removeprefix("'") for cell in row] == [safe(cell).removeprefix("'") for cell in cells]


@pytest.mark.parametrize(
    ("cell", "text"),
    [(None, ""), (float("nan"), ""), (-0.0, "0"), (0.1 + 0.2, "0.3"), (3, "3"), ("=1", "'=1"), ("-", "'-")],
)
def test_cells(cell: str | float | None, text: str) -> None:
    assert written(cell) == text
