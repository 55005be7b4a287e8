"""Serial numbers in the stay file."""

from pathlib import Path

import pytest

from alongside.errors import StayFaults
from tests.berth import STAY_TEXT, a_stay

TAILED = STAY_TEXT.replace(
    "bollard: B2, rope: polyester,",
    "bollard: B2, rope: polyester, serial: 0042, tail: {rope: polyester, length: 8, serial: no},",
)


def test_serials_are_text_as_it_stands(tmp_path: Path) -> None:
    lines = a_stay(tmp_path, TAILED).lines
    assert [line.serial for line in lines] == ["", "0042", ""]
    assert lines[1].tail is not None
    assert lines[1].tail.serial == "no"


def test_one_rope_cannot_be_in_two_lines(tmp_path: Path) -> None:
    text = TAILED.replace("bollard: B3, rope: polyester,", "bollard: B3, rope: polyester, serial: no,")
    row = next(at for at, line in enumerate(text.splitlines(), 1) if "bollard: B3, rope" in line)
    with pytest.raises(StayFaults) as wrong:
        a_stay(tmp_path, text)
    (fault,) = wrong.value.faults
    assert (fault.line, fault.path) == (row, "lines[2].serial")
    assert "is used before, expected another serial for each rope and tail" in fault.problem
