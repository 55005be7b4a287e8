"""The water under the keel by hand: a box of her length and breadth."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.assess import assess
from alongside.alerts.findings import Findings
from alongside.alerts.rules import rules_of
from alongside.forecast.basis import Basis
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.hold import hold
from alongside.mechanics.keel import under_keel_m
from alongside.mechanics.reasons import REASONS, NoAnswer
from alongside.mechanics.situation import situation_of
from alongside.stay.model import Marks, Ship
from tests.berth import STAY_TEXT, a_stay
from tests.cycle.test_advance import readings_of

SHIP = Ship("Box", 183.0, 176.0, 31.0, 17.0, Marks(172.0, 4.0), {})


def test_a_list_of_one_degree_takes_a_quarter_of_a_metre() -> None:
    """15.5 m x sin 1 deg = 0.27 m; as much to port as to starboard. Ours, plane geometry."""
    upright, listed, other = under_keel_m(SHIP, 12.0, 2.0, 8.0, 8.0, np.array([0.0, 1.0, -1.0]))
    assert upright == pytest.approx(6.0)
    assert upright - listed == pytest.approx(0.2705, abs=1e-4)
    assert listed == other


def test_the_deeper_perpendicular_counts_not_the_mark() -> None:
    """Marks 168 m apart with 1.68 m by the stern: 1 cm a metre, so 4 cm more at the aft perpendicular."""
    assert under_keel_m(SHIP, 12.0, 0.0, 7.0, 8.68, 0.0) == pytest.approx(12.0 - 8.72)
    assert under_keel_m(SHIP, 12.0, 0.0, 8.68, 7.0, 0.0) == pytest.approx(12.0 - 8.72)


def test_a_car_carrier_listed_three_degrees(tmp_path: Path) -> None:
    """Charted 7.5 m, tide 1.35, draughts 6.80 and 7.95 at the perpendiculars, breadth 30.4: 0.90 m upright,
    0.10 m with a list of 3 deg. Figures of a check against a sounder, no published source."""
    ship = replace(SHIP, breadth=30.4, marks=Marks(176.0, 0.0))
    assert under_keel_m(ship, 7.5, 1.35, 6.8, 7.95, 0.0) == pytest.approx(0.90)
    assert under_keel_m(ship, 7.5, 1.35, 6.8, 7.95, 3.0) == pytest.approx(0.10, abs=0.005)


def test_trim_and_list_together_by_hand() -> None:
    """Marks 168 m apart with 3.36 m by the head, 2 cm a metre: 4 m on from the mark 8 cm more, 9.44 m at the
    forward perpendicular; 31 m broad with 2 deg of list 15.5 x sin 2 deg = 0.541 m. 12 + 1.5 - 9.44 - 0.541 =
    3.519 m. Ours, plane geometry."""
    assert under_keel_m(SHIP, 12.0, 1.5, 9.36, 6.0, 2.0) == pytest.approx(3.519, abs=5e-4)
    assert under_keel_m(SHIP, 12.0, 1.5, 6.0, 9.36, -2.0) == pytest.approx(3.519, abs=5e-4)


@given(
    st.floats(0.0, 20.0), st.floats(0.0, 20.0), st.floats(-10.0, 10.0), st.floats(0.0, 300.0), st.floats(0, 1)
)
def test_no_point_of_her_bottom_is_lower(fwd: float, aft: float, heel: float, x: float, y: float) -> None:
    """Any point of the bottom of the box, listed and trimmed, has at least that much water (less the little
    that a cosine takes off the draught of a listed ship)."""
    x, y = min(x, SHIP.lbp), (y - 0.5) * SHIP.breadth
    draught = aft + (x - 4.0) * (fwd - aft) / 168.0
    lowers = -y * np.sin(np.radians(heel))
    assert under_keel_m(SHIP, 30.0, 0.0, fwd, aft, heel) <= 30.0 - (draught + lowers) + 1e-9


def judged(tmp_path: Path, heel: float, charted_depth: float) -> float:
    stay = a_stay(tmp_path, STAY_TEXT.replace("charted_depth: 6.0", f"charted_depth: {charted_depth}"))
    situation = replace(situation_of(stay, readings_of(np.array([0.0]))), heel_deg=np.array([heel]))
    arrangement = arrangement_of(stay)
    held = hold(arrangement, situation, np.full(3, np.nan))
    found = assess(rules_of(stay), Findings.of(stay, arrangement, situation, held))
    return float(found.value[0, [rule.cause for rule in found.rules].index("under_keel")])


def test_without_the_heel_the_upright_clearance_alarms_all_the_same(tmp_path: Path) -> None:
    """Tide 0, 4.5 m at the aft mark and 4.513 m at the perpendicular: 1.487 m upright over 6 m, no limit
    reached (1.00 m), so not known; over 5 m known to be 0.487 m at most."""
    assert judged(tmp_path, 0.0, 6.0) == pytest.approx(1.487, abs=0.001)
    assert np.isnan(judged(tmp_path, np.nan, 6.0))
    assert judged(tmp_path, np.nan, 5.0) == pytest.approx(0.487, abs=0.001)


def test_a_draught_below_zero_is_not_known_and_says_so(tmp_path: Path) -> None:
    """At the door into the mechanics, whoever opens it; the other draught stays what it is."""
    stay = a_stay(tmp_path)
    good = situation_of(stay, readings_of(np.array([2.0, 2.0, 2.0])))
    wrong = replace(good, draught_fwd=np.array([4.0, -0.41, 4.0]))
    assert np.isnan(wrong.draught_fwd).tolist() == [False, True, False]
    assert wrong.draught_aft.tolist() == good.draught_aft.tolist()
    held = hold(Basis.of(stay).arrangement, wrong.at(np.array([1, 0])), np.full(3, 20.0))
    assert held.reason.tolist() == [NoAnswer.NO_SUCH_DRAUGHT, NoAnswer.ANSWERED]
    assert REASONS[NoAnswer.NO_SUCH_DRAUGHT] == "draught below zero"
    assert np.isnan(held.lines.tension_kn[0]).all()
