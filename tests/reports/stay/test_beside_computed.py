"""Loads by cell and as if brakes slipped, in the report's figures and tables. Expected values: ours."""

import csv
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.record.reader import RecordReader
from alongside.reports.stay.line_figures import line_figures
from alongside.reports.stay.record_arrays import read_arrays
from alongside.reports.stay.write import write_report
from alongside.units import unix_time
from tests.record.kept import ASKED, Watch, worn_stay


@pytest.fixture(scope="module")
def asked(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Watch]:
    """Return a record in which the brake of line 1 comes into question, and the watch that kept it."""
    folder = tmp_path_factory.mktemp("asked")
    watch = Watch(worn_stay(folder), folder / "record").run(ASKED + 60)
    watch.end()
    return folder / "record", watch


@pytest.mark.slow
def test_tables_have_the_second_state_while_a_brake_is_in_question(
    asked: tuple[Path, Watch], tmp_path: Path
) -> None:
    record, watch = asked
    write_report(record, tmp_path / "report.html", tmp_path / "csv")
    with (tmp_path / "csv" / "states.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, strict=True))
    shown = {picture.time: picture for picture in watch.pictures}
    in_question = 0
    for row in rows:
        lines = shown[unix_time(row["time"])].lines
        for line in lines:
            load, ran_out = (row[f"slipped.{name}.{line.id}"] for name in ("tension_kn", "paid_out_m"))
            if line.if_slipped is None:
                assert load == ran_out == ""
                continue
            in_question += 1
            assert float(load) == pytest.approx(line.if_slipped.tension_kn, rel=1e-4)
            expected = line.asked.ran_out_m if line.asked else 0.0
            assert float(ran_out) == pytest.approx(expected, abs=1e-6)
    assert 0 < in_question < len(lines) * len(rows)


@pytest.mark.slow
def test_peaks_are_of_the_larger_of_measured_and_computed(asked: tuple[Path, Watch]) -> None:
    with RecordReader(asked[0]) as record:
        arrays = read_arrays(record)
    before = line_figures(arrays)
    line = arrays.lines[1]
    cell = np.full(arrays.time.size, np.nan)
    cell[3], cell[5] = before[1].tension_kn.value + 40.0, 0.5
    name = f"measured_kn.{line.id}"
    measured = replace(arrays, number={**arrays.number, name: cell.astype(np.float32)})
    after = line_figures(measured)
    assert after[0] == before[0]
    assert after[1].tension_kn.value == pytest.approx(before[1].tension_kn.value + 40.0)
    assert after[1].tension_kn.time == arrays.time[3]
    share = after[1].tension_kn.value / line.smallest_wll_kn
    assert after[1].load_share.value == pytest.approx(share)
    assert after[1].slackest_kn == before[1].slackest_kn
