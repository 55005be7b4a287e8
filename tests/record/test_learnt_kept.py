"""A watch that is gone on with on a stay file that has what was learnt of a line since."""

from pathlib import Path

import pytest

from alongside.actions import TendLine
from tests.berth import STAY_TEXT, a_stay
from tests.record.kept import Watch

ROW = '{id: "2", role: breast,'
LEARNT = "learnt: {stiffness: 0.8, more_m: 0.05, at_kn: 20, load_band: 0.05},"


def test_the_line_goes_on_with_its_tendings_and_the_length_that_goes_with_what_was_learnt(
    tmp_path: Path,
) -> None:
    """As if the file had said so from the start: the same making fast, the same metres tended since."""
    (tmp_path / "other").mkdir()
    learnt = STAY_TEXT.replace(ROW, f"{ROW} {LEARNT}")
    tended = {3: TendLine("2", paid_out=-0.06, by="RV")}
    from_the_start = Watch(a_stay(tmp_path / "other", learnt), None).run(5, tended).last
    watch = Watch(a_stay(tmp_path), tmp_path / "record").run(5, tended)
    watch.end()
    again = Watch(a_stay(tmp_path, learnt), tmp_path / "record", 6.0)
    again.run(1)
    assert again.last.stay.lines[1].learnt is not None
    found, expected = again.last.lines[1], from_the_start.lines[1]
    assert found.unstretched_m == pytest.approx(expected.unstretched_m, abs=2e-3)
    assert found.tension_kn == pytest.approx(expected.tension_kn, rel=0.03)
    assert any("as it was learnt" in event.text for event in again.last.log)
    again.end()
