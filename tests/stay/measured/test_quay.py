"""The berth from a tape, paces and the ship's heading. Worked by hand from the entries."""

from math import cos, pi
from pathlib import Path
from textwrap import dedent

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.forecast.tide.between_extremes import planned_height
from alongside.stay.heading import ship_heading
from alongside.stay.model import TidePlan
from alongside.stay.tide_level import level_by_table
from tests.berth import STAY_TEXT
from tests.stay.measured.sheet import faults_with, guess_of, stay_with

B2 = "B2: {x: 70.0, y: -8.0, z: 4.0, swl_kn: 300}"
BEARING = "  bearing_of_x: 90.0\n"
EDGE = ("  charted_depth: 6.0\n", "  charted_depth: 6.0\n  edge_to_fenders: 0.8\n  pace: 0.75\n")
RAIL = ("  depth: 8.0\n", "  depth: 8.0\n  rail_z: 9.1\n")
TIDE = (
    "balance: off\n",
    "balance: off\ntide: {high_low: [[2026-03-02T00:00:00Z, 1.0], [2026-03-02T06:00:00Z, 5.0]]}\n",
)


@pytest.mark.parametrize(("side", "bearing"), [("starboard", 275.0), ("port", 95.0)])
def test_a_heading_serves_instead_of_the_berths_direction(side: str, bearing: float, tmp_path: Path) -> None:
    for changes in (
        ((BEARING, ""), ("alongside: starboard", f"alongside: {side}\nheads: 275")),
        ((BEARING, "  heads: 275\n"), ("alongside: starboard", f"alongside: {side}")),
    ):
        stay = stay_with(tmp_path, *changes)
        assert stay.berth.bearing_of_x == bearing
        assert ship_heading(stay) == 275.0


def test_one_direction_and_one_only(tmp_path: Path) -> None:
    top = ("alongside: starboard", "alongside: starboard\nheads: 275")
    assert "berth.bearing_of_x: bearing_of_x here, and heads at the top" in faults_with(tmp_path, top)
    assert "heads and bearing_of_x together" in faults_with(tmp_path, (BEARING, BEARING + "  heads: 275\n"))
    assert "bearing_of_x: missing" in faults_with(tmp_path, (BEARING, ""))


def test_a_heading_does_not_stand_in_a_berths_own_file(tmp_path: Path) -> None:
    section = STAY_TEXT[STAY_TEXT.index("berth:\n") : STAY_TEXT.index("ropes:\n")]
    (tmp_path / "berth.yaml").write_text(
        dedent(section.removeprefix("berth:\n")).replace("bearing_of_x", "heads")
    )
    found = faults_with(tmp_path, (section, "berth: berth.yaml\n"))
    assert "berth.yaml:2:8: berth.heads: depends on the side she lies on" in found


def test_along_from_a_named_bollard_as_high_and_as_far_back_as_that(tmp_path: Path) -> None:
    at = stay_with(tmp_path, (B2, "B2: {from: B1, along: -40.5}")).berth.bollards["B2"].at
    assert (at.x, at.y, at.z) == (69.5, -10.0, 4.0)


def test_paces_are_a_guess_of_five_per_cent(tmp_path: Path) -> None:
    stay = stay_with(tmp_path, EDGE, (B2, "B2: {from: B1, along: -50 paces}"))
    assert stay.berth.bollards["B2"].at.x == pytest.approx(110.0 - 37.5)
    assert guess_of(stay, "berth.bollards.B2.along").spread == pytest.approx(0.05 * 37.5)


def test_behind_the_edge_and_over_the_water(tmp_path: Path) -> None:
    entry = "B2: {from: B3, along: 90 m, set_back: 1.2, over_water: 2.6, tide: 1.7}"
    at = stay_with(tmp_path, EDGE, (B2, entry)).berth.bollards["B2"].at
    assert (at.x, at.y, at.z) == pytest.approx((70.0, -2.0, 4.3))


def test_over_the_water_at_a_time_of_the_table(tmp_path: Path) -> None:
    entry = "B2: {x: 70.0, y: -8.0, over_water: 2.6, at: 2026-03-02T02:00:00Z}"
    z = stay_with(tmp_path, TIDE, (B2, entry)).berth.bollards["B2"].at.z
    assert z == pytest.approx(2.6 + 1.0 + 4.0 * (1.0 - cos(pi / 3.0)) / 2.0)  # 4.6: a third of the way up


def test_below_the_rail_at_the_draught_abreast(tmp_path: Path) -> None:
    # Station 60 lies abreast of x 70 (40 of 50): 4.5 aft at 2, 4.0 forward at 78, so 4.1184 m there.
    entry = "B2: {x: 70.0, y: -8.0, below_rail: 2.0, draught_fwd: 4.0, draught_aft: 4.5, tide: 1.5}"
    z = stay_with(tmp_path, RAIL, (B2, entry)).berth.bollards["B2"].at.z
    assert z == pytest.approx(1.5 + 9.1 - (4.5 - 0.5 * 58.0 / 76.0) - 2.0)


def test_from_one_that_is_measured_itself_in_any_order(tmp_path: Path) -> None:
    stay = stay_with(
        tmp_path,
        ("B1: {x: 110.0, y: -10.0, z: 4.0, swl_kn: 300}", "B1: {from: B2, along: 40}"),
        (B2, "B2: {from: B3, along: 90}"),
    )
    assert [each.at.x for each in stay.berth.bollards.values()] == [110.0, 70.0, -20.0]


# fmt: off
WRONG = [
    ("B2: {from: B9, along: 4}", "berth.bollards.B2.from: there is no bollard 'B9'"),
    ("B2: {from: B2, along: 4}", "B2.from: measured from itself"),
    ("B2: {from: B1}", "B2.from: from without along"),
    ("B2: {x: 4, from: B1, along: 4}", "B2.from: x and from together"),
    ("B2: {from: B1, along: 40 paces}", "B2.along: '40 paces' of what length, expected berth.pace"),
    ("B2: {from: B1, along: 40 feet}", "B2.along: '40 feet' is not a number"),
    ("B2: {from: B1, along: 4, set_back: 1}", "B2.set_back: how far the fenders stand out is not known"),
    ("B2: {from: B1, along: 4, z: 3, over_water: 1}", "B2.over_water: z and over_water together"),
    ("B2: {from: B1, along: 4, over_water: 1}", "B2.over_water: over_water at which tide"),
    ("B2: {from: B1, along: 4, over_water: 1, at: 2026-03-02T02:00:00Z}", "B2.at: no table of high and low"),
    ("B2: {from: B1, along: 4, below_rail: 1, tide: 2}", "expected ship.rail_z"),
    ("B2: {from: B1, along: 4, below_rail: 1, tide: 2}", "below_rail without draughts"),
    ("B2: {x: 4, z: 4}", "B2.y: missing, expected a number in m, or set_back"),
    ("B2: {x: 4, y: -4}", "B2.z: missing, expected a number in m, or over_water or below_rail"),
    ("B2: {from: B1, along: 4, dolphin: D1}", "B2.dolphin: there is no dolphin 'D1'"),
    ("B2: {frm: B1, along: 4}", "B2.frm: unknown key, expected perhaps 'from'"),
]
# fmt: on


@pytest.mark.parametrize(("entry", "words"), WRONG)
def test_what_gives_no_place_is_refused(entry: str, words: str, tmp_path: Path) -> None:
    assert words in faults_with(tmp_path, (B2, entry))


def test_a_ring_of_bollards_is_refused_once(tmp_path: Path) -> None:
    found = faults_with(
        tmp_path,
        ("B1: {x: 110.0, y: -10.0, z: 4.0, swl_kn: 300}", "B1: {from: B2, along: 4}"),
        (B2, "B2: {from: B1, along: 4}"),
    )
    assert found.count("measured from itself") == 1


@pytest.mark.slow
def test_a_long_row_of_bollards_is_read_and_a_long_ring_refused(tmp_path: Path) -> None:
    row = [f"    R{each}: {{from: R{each - 1}, along: 1}}\n" for each in range(1, 3000)]
    first = "    R0: {x: -1500, y: -10, z: 4}\n"
    bollards = stay_with(tmp_path, ("  bollards:\n", f"  bollards:\n{''.join(reversed(row))}{first}")).berth
    assert bollards.bollards["R2999"].at.x == 1499.0
    ring = "    R0: {from: R2999, along: 1}\n"
    found = faults_with(tmp_path, ("  bollards:\n", f"  bollards:\n{''.join(row)}{ring}"))
    assert found.count("measured from itself") == 1


def test_marks_in_one_place_are_refused_and_nothing_fails(tmp_path: Path) -> None:
    entry = "B2: {x: 70.0, y: -8.0, below_rail: 2.0, draught_fwd: 4.0, draught_aft: 4.5, tide: 1.5}"
    found = faults_with(tmp_path, RAIL, ("{fwd: 78.0, aft: 2.0}", "{fwd: 2.0, aft: 2.0}"), (B2, entry))
    assert "ship.marks.fwd: 2 is not forward of the aft marks" in found


heights = st.floats(-2.0, 9.0)


@given(heights, heights, heights, st.floats(0.0, 43_000.0))
def test_the_level_is_that_of_the_forecast(one: float, two: float, three: float, after: float) -> None:
    start = 1_772_424_000.0
    plan = TidePlan(((start, one), (start + 21_600, two), (start + 43_200, three)), to_chart_datum=0.4)
    by_arrays = float(planned_height(plan, np.array([start + after]))[0])
    assert level_by_table(plan, start + after) == pytest.approx(by_arrays, abs=1e-9)
