"""Signs on a berth where all is the other way: port side to, a line that leads up, one slack, one ashore."""

from pathlib import Path

import numpy as np
import pytest

from alongside.stay.heading import ship_heading
from tests.worlds import LEADS_UP, NOT_FAST, SLACK_AND_STEEP, TAUT, Watched, awkward_stay, watched


@pytest.fixture(scope="module")
def seen(tmp_path_factory: pytest.TempPathFactory) -> Watched:
    return watched(awkward_stay(tmp_path_factory.mktemp("awkward")))


def test_port_side_to_she_heads_against_the_berth(tmp_path: Path) -> None:
    assert ship_heading(awkward_stay(tmp_path)) == 250.0 - 180.0


def test_a_line_that_leads_up_has_a_negative_angle_and_lifts(seen: Watched) -> None:
    """By hand, in place: fairlead 6.0 - 4.385 + 3.0 m over datum (keel slope 0.5 m in 76 m), bollard at 13.5;
    6 m across: atan(8.885 / 6) = 55.97 deg up. She lies a few centimetres from there."""
    lines, at = seen.block.hold.lines, seen.line(LEADS_UP)
    assert lines.vertical_deg[-1, at] == pytest.approx(-55.97, abs=0.2)
    assert lines.down_kn[-1, at] < -0.8 * lines.tension_kn[-1, at]


def test_lines_pull_towards_the_quay_on_the_port_side_too(seen: Watched) -> None:
    lines = seen.block.hold.lines
    for line in TAUT:
        assert lines.in_kn[-1, seen.line(line)] > 0.0


def test_leads_are_counted_from_ahead_on_the_quay_side(seen: Watched) -> None:
    """By hand, in place, the bow towards -x: line 1 leads ahead from (10, 5) to (-20, -10), atan(15 / 30) =
    26.6 deg; line 4 leads aft from (89, 3) to (110, -10), 180 - atan(13 / 21) = 148.2 deg."""
    lead = seen.block.hold.lines.horizontal_deg[-1]
    assert lead[seen.line("1")] == pytest.approx(26.6, abs=0.5)
    assert lead[seen.line("4")] == pytest.approx(148.2, abs=0.5)


def test_a_slack_line_keeps_its_lead_and_carries_nothing(seen: Watched) -> None:
    lines, at = seen.block.hold.lines, seen.line(SLACK_AND_STEEP)
    assert 55.0 < lines.vertical_deg[-1, at] < 65.0
    assert lines.tension_kn[-1, at] == 0.0
    assert lines.elongation_pct[-1, at] < 0.0


def test_a_line_that_is_not_made_fast_has_a_lead_but_no_load(seen: Watched) -> None:
    lines, at = seen.block.hold.lines, seen.line(NOT_FAST)
    assert np.isfinite(lines.vertical_deg[-1, at])
    assert np.isnan(lines.tension_kn[-1, at])
    assert np.isnan(lines.unstretched_m[-1, at])
