"""A ship inside, and a barge outside, of hers. Worked by hand."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.geometry import leads_of
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.pose import in_place
from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.berth import berth_remarks
from alongside.reports.remarks.watched import not_watched
from alongside.stay.model import Stay
from tests.berth import START
from tests.mechanics.moored import blown
from tests.mechanics.stays import afloat, moved, situation
from tests.stay.measured.sheet import faults_with, stay_with
from tests.worlds import readings, watched

INNER = (
    "beside: {inner: {lies: inside, draught: [[2026-03-02T04:00:00Z, 6.0], [2026-03-02T08:00:00Z, 8.0]]}}\n"
)
ON_INNER = [
    ("B1: {x: 110.0, y: -10.0, z: 4.0,", "B1: {x: 110.0, y: -10.0, on: inner, above_keel: 11.0,"),
    ("B2: {x: 70.0, y: -8.0, z: 4.0,", "B2: {x: 70.0, y: -8.0, on: inner, above_keel: 11.0,"),
    ("balance: off\n", "balance: off\n" + INNER),
]
BARGE = """\
beside:
  barge: {lies: outside, draught: 2.0, ship_x: 60.0, length: 40.0, breadth: 8.0,
          wind: {front_m2: 30, side_m2: 100, at_draught: 2.0},
          current: {coefficients: [[0, -0.1, 0, 0], [90, 0, 0.6, 0], [180, 0.1, 0, 0], [270, 0, -0.6, 0]]}}
"""
WIND = ("  fairleads:\n", "  wind: {front_m2: 100, side_m2: 400, at_draught: 4.25}\n  fairleads:\n")
LINE_P = """\
  - {id: "P", role: breast, fairlead: FP, bollard: P, rope: polyester,
     made_fast: {at: 2026-03-02T04:00:00Z, tension_kn: 20, tide: 2.0, draught_fwd: 4.0, draught_aft: 4.0}}
"""
OUTSIDE = [
    WIND,
    ("  fenders:", "    P: {x: 70.0, y: 14.5, on: barge, above_keel: 3.0}\n  fenders:"),
    ("    FA: {", "    FP: {x: 60.0, y: 7.0, z: 8.5}\n    FA: {"),
    ("feeds:\n", LINE_P + "feeds:\n"),
]


def double_banked(folder: Path) -> Stay:
    return stay_with(folder, *ON_INNER)


def with_barge(folder: Path, balance: str = "on") -> Stay:
    return stay_with(folder, *OUTSIDE, ("balance: off\n", f"balance: {balance}\n" + BARGE))


def test_lines_to_the_inner_ship_ride_on_the_tide_and_her_draught(tmp_path: Path) -> None:
    """By hand: over the water stand 11 - 6 = 5 m, after two hours 11 - 7 = 4 m, whatever the tide."""
    far = arrangement_of(double_banked(tmp_path)).far_ends
    time = START + np.array([-3600.0, 0.0, 7200.0, 14400.0, 36000.0])
    height = far.height(np.array([2.0, 2.0, 3.0, 3.0, 5.0]), time)
    assert height[0] == pytest.approx([7.0, 7.0, 7.0, 6.0, 8.0])
    assert height[2] == pytest.approx(4.0)


def test_the_tide_alone_does_not_move_lines_to_her(tmp_path: Path) -> None:
    leads = leads_of(
        arrangement_of(double_banked(tmp_path)), in_place(situation(afloat([2.0, 4.0], 4.0, 4.0)))
    )
    # Both instants are long before her draught changes.
    assert leads.path[:2, 0] == pytest.approx(leads.path[:2, 1])
    assert leads.path[2, 1] > leads.path[2, 0] + 0.01


def test_live_her_draught_is_that_of_the_time(tmp_path: Path) -> None:
    """She goes down by 0.5 m an hour; ours and the tide stand: the lead of the breast comes steeper as by
    hand, atan((8.5 - draught at 60 - 5 and - 4.5) / 8) within 0.1 deg."""
    steady = readings(61)
    time = START + 60.0 * np.arange(61)
    found = watched(double_banked(tmp_path), replace(steady, time=time))
    down = found.block.hold.lines.vertical_deg[[0, 60], 1]
    over = 8.5 - (4.5 - (60.0 - 2.0) * 0.5 / 76.0)
    assert down == pytest.approx(np.degrees(np.arctan2([over - 5.0, over - 4.5], 8.0)), abs=0.15)


def test_the_place_of_the_inner_ship_is_said_to_be_fixed(tmp_path: Path) -> None:
    rows = list(not_watched(Afloat(double_banked(tmp_path))))
    assert "movement of inner: she lies inside, her place is taken as fixed" in rows


def test_wind_and_current_on_the_barge_come_on_ours(tmp_path: Path) -> None:
    """By hand, 10 m/s from the quay side (starboard, 90 off the bow): q = 0.0005 x 1.225 x 100 = 0.06125
    kN/m2, by the rule of 0.892 100 m2 give 5.46 kN to port, 20 m ahead of midships: 109 kN m. Current of
    1 m/s the same way: q 0.5125 kN/m2 on 2 x 40 m2 with 0.6: 24.6 kN, 492 kN m."""
    seen = blown(1, 2.0, 4.25, 4.25, (10.0, 180.0), (1.0, 0.0))
    ours = loads_of(arrangement_of(stay_with(tmp_path, WIND)).exposure, seen)[0]
    both = loads_of(arrangement_of(with_barge(tmp_path)).exposure, seen)[0]
    more = (both.at(np.zeros(1)) - ours.at(np.zeros(1)))[:, 0]
    wind, current = 0.0005 * 1.225 * 100.0 * 0.892 * 100.0, 0.5125 * 0.6 * 2.0 * 40.0
    assert more[1] == pytest.approx(wind + current, rel=0.01)
    assert more[2] == pytest.approx(20.0 * (wind + current), rel=0.01)


def test_wind_from_ahead_on_the_barge_turns_her(tmp_path: Path) -> None:
    """30 m2 of front, 11 m to port of ours: 1.64 kN astern turn the bow to port by 18 kN m."""
    seen = blown(1, 2.0, 4.25, 4.25, (10.0, 90.0))
    ours = loads_of(arrangement_of(stay_with(tmp_path, WIND)).exposure, seen)[0].at(np.zeros(1))
    both = loads_of(arrangement_of(with_barge(tmp_path)).exposure, seen)[0].at(np.zeros(1))
    ahead = -0.0005 * 1.225 * 100.0 * 0.892 * 30.0
    assert (both - ours)[:, 0] == pytest.approx([ahead, 0.0, -11.0 * ahead], rel=0.01, abs=1e-6)


def test_a_line_to_the_barge_moves_with_both_and_holds_neither(tmp_path: Path) -> None:
    arrangement = arrangement_of(with_barge(tmp_path))
    still, gone = afloat(2.0, 4.0, 4.0), moved(afloat(2.0, 4.0, 4.0), 3.0, 2.0, 0.1)
    assert leads_of(arrangement, gone).path[3] == pytest.approx(leads_of(arrangement, still).path[3])
    seen = situation(afloat(2.0, 4.0, 4.0))
    lengths = unstretched_for(arrangement, in_place(seen), np.array([20.0, 20.0, 20.0, 20.0]))[0]
    tighter = lengths - np.array([0.0, 0.0, 0.0, 1.0])
    loose, tight = hold(arrangement, seen, lengths), hold(arrangement, seen, tighter)
    assert tight.lines.tension_kn[0, 3] > loose.lines.tension_kn[0, 3] + 5.0
    assert tight.lines.tension_kn[0, :3] == pytest.approx(loose.lines.tension_kn[0, :3], rel=1e-6)


def test_a_line_to_the_barge_rides_on_both_draughts_not_on_the_tide(tmp_path: Path) -> None:
    """FP stands 8.5 - 4 = 4.5 m over the water, her bollard 3 - 2 = 1 m, 0.5 m out."""
    leads = leads_of(arrangement_of(with_barge(tmp_path)), afloat([2.0, 4.0], 4.0, 4.0))
    assert leads.outboard[3] == pytest.approx(np.hypot(3.5, 0.5))


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("beside: {b: {lies: outside, draught: 2.0}}\n", "beside.b.length: missing"),
        ("beside: {b: {lies: inside, draught: 2.0, wind: {front_m2: 30, side_m2: 100, at_draught: 2.0}}}\n",
         "beside.b.wind: wind of a ship inside"),
        ("beside: {b: {lies: under, draught: 2.0}}\n", "beside.b.lies: 'under' is not known here"),
        ("beside: {b: {lies: inside, draught: [[2026-03-02T04:00:00Z, 2], [2026-03-02T03:00:00Z, 2]]}}\n",
         "beside.b.draught[1]: time does not rise"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_at_its_place(text: str, fault: str, tmp_path: Path) -> None:
    assert fault in faults_with(tmp_path, ("balance: off\n", "balance: off\n" + text))


def test_a_bollard_on_the_barge_is_not_said_to_be_in_the_water(tmp_path: Path) -> None:
    assert not [each for each in berth_remarks(Afloat(with_barge(tmp_path))) if each.path.endswith(".P")]
