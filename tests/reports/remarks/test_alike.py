"""Remarks on lines name the lines; what is the same of several lines is one remark."""

from pathlib import Path

import pytest

from alongside.reports.remarks.all import placed
from alongside.reports.remarks.text import remarks_on
from tests.reports.remarks.test_guesses import FAST, TIDE
from tests.stay.measured.sheet import stay_with

HIGHER = FAST.replace("tide: 2.0", "tide: 4.9")
WORDS = "remark: lines 2 and aft7: 4.90 m where the table has 3.67 m"


def test_a_tide_that_is_not_the_table_s_is_one_remark_on_all_lines(tmp_path: Path) -> None:
    stay = stay_with(tmp_path, TIDE, (FAST, HIGHER), ('id: "3"', 'id: "aft7"'))
    (fault,) = [each for each in placed(stay) if "where the table has" in each.problem]
    assert fault.problem.startswith(WORDS)
    assert fault.path == "lines[1].made_fast.tide"
    source = Path(fault.file).read_text().splitlines()[fault.line - 1][fault.column - 1 :]
    assert source.startswith("4.9")
    assert fault in remarks_on(stay).remarks


@pytest.mark.parametrize("name", ["aft7", "12"])
def test_a_remark_on_a_line_names_it_beside_its_place_in_the_file(tmp_path: Path, name: str) -> None:
    stay = stay_with(tmp_path, ("role: breast", "role: stern"), ('id: "2"', f'id: "{name}"'))
    found = [each for each in placed(stay) if each.path.startswith("lines[1].")]
    assert found
    assert all(each.problem.startswith(f"remark: line {name}: ") for each in found)
