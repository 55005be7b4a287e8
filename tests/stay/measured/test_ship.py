"""The ship from her drawings, her booklet, or neither. Worked by hand; sources beside the values."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.rules import rules_of
from alongside.mechanics.arrangement import arrangement_of
from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.all import remarks_of
from alongside.reports.remarks.table import line_table
from alongside.stay.fittings import with_fittings
from alongside.stay.hull_estimates import (
    block_at,
    block_coefficient,
    mctc_of,
    tpc_of,
    waterplane_coefficient,
)
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from alongside.units import G
from tests.stay.measured.sheet import faults_with, guess_of, stay_with

FB = "FB: {x: 80.0, y: -2.0, z: 9.0}"
FM = "FM: {x: 60.0, y: -7.0, z: 8.5}"
W1 = "W1: {x: 74.0, y: 0.0, z: 9.5, brake_kn: 120}"
DEPTH = "  depth: 8.0\n"
CONFIGS = Path(__file__).parents[3] / "configs"


def with_ship(folder: Path, entry: str) -> Stay:
    return stay_with(folder, (DEPTH, f"{DEPTH}  {entry}\n"))


def test_a_fairlead_from_the_stem_and_above_the_deck(tmp_path: Path) -> None:
    entry = "FB: {from_stem: 2.0, y: -2.0, above_deck: 1.0}"
    stay = stay_with(tmp_path, (FB, entry))
    assert stay.ship.fairleads["FB"].x == 80.0  # 84 over all, half of the 4 m beyond the perpendiculars aft
    assert stay.ship.fairleads["FB"].z == 9.0
    guess = guess_of(stay, "ship.overhang_aft")
    assert (guess.value, guess.spread) == (2.0, 2.0)


def test_from_either_end_with_a_known_overhang(tmp_path: Path) -> None:
    stay = stay_with(
        tmp_path,
        (DEPTH, f"{DEPTH}  overhang_aft: 3.0\n"),
        (FB, "FB: {from_stem: 2.0, y: -2.0, above_deck: -0.5}"),
        (W1, "W1: {from_stern: 70.0, y: 0.0, above_deck: 1.5, brake_kn: 12 t}"),
    )
    assert (stay.ship.fairleads["FB"].x, stay.ship.fairleads["FB"].z) == (79.0, 7.5)
    assert (stay.ship.winches["W1"].at.x, stay.ship.winches["W1"].at.z) == (67.0, 9.5)
    assert not stay.guesses


# fmt: off
WRONG = [
    (FB, "FB: {x: 80, from_stem: 2, y: -2, z: 9}", "ship.fairleads.FB.from_stem: x and from_stem together"),
    (FB, "FB: {x: 80, y: -2}", "ship.fairleads.FB: one key is missing, expected z or above_deck"),
    (FB, "FB: {from_stem: -30, y: -2, z: 9}", "FB.from_stem: '-30' is out of bounds"),
    (FB, "FB: {from_stem: 100, y: -2, z: 9}", "ship.fairleads.FB.from_stem: -18 is not on board"),
    (FB, "FB: {x: 80, y: -2, above_deck: 25}", "ship.fairleads.FB.above_deck: 33 is not on board"),
    (W1, "W1: {x: 74, y: 0, z: 9.5, brake_kn: 9, swl_kn: 80}", "ship.winches.W1.swl_kn: bitts with a brake"),
]
# fmt: on


@pytest.mark.parametrize(("before", "after", "words"), WRONG)
def test_what_is_no_place_on_board_is_refused(before: str, after: str, words: str, tmp_path: Path) -> None:
    assert words in faults_with(tmp_path, (before, after))


ROWS = "[{draught: 4, displacement: 3500, tpc: 9.6, mctc: 70, lcf: LOW}, {draught: 5, displacement: 4470, tpc: 9.8, mctc: 72, lcf: HIGH}]"  # noqa: E501


def test_an_lcf_from_midships_has_its_letter(tmp_path: Path) -> None:
    rows = ROWS.replace("LOW", "1.20 F").replace("HIGH", "0.85A")
    stay = with_ship(tmp_path, f"hydrostatics: {rows}")
    assert [row.lcf for row in stay.ship.hydrostatics] == pytest.approx([41.2, 39.15])
    plain = with_ship(tmp_path, f"hydrostatics: {ROWS.replace('LOW', '41').replace('HIGH', '39')}")
    assert [row.lcf for row in plain.ship.hydrostatics] == [41.0, 39.0]


@pytest.mark.parametrize("written", ["1.2 f", "-1.2 F", "F 1.2", "1.2 fwd"])
def test_no_other_letter_is_read(written: str, tmp_path: Path) -> None:
    rows = ROWS.replace("LOW", written).replace("HIGH", "39")
    found = faults_with(tmp_path, (DEPTH, f"{DEPTH}  hydrostatics: {rows}\n"))
    assert "ship.hydrostatics[0].lcf" in found
    assert "from midships with F or A behind it" in found


def test_hydrostatics_from_a_displacement(tmp_path: Path) -> None:
    """By hand: 1.025 x 80 x 14 x 5 = 5740 t of water in the box, Cb 0.78, Cw 0.853, TPC 9.80 t/cm;
    MCTC 1.025 x 14 x 80^2 / 100 x 0.853 / (12 x (3 - 1.7067)) = 50.5 t m/cm."""
    stay = with_ship(tmp_path, "hydrostatics: {at_draught: 5.0, displacement: 4477.2, lcf: 0.5 A}")
    row = next(each for each in stay.ship.hydrostatics if each.draught == pytest.approx(5.0))
    assert row.displacement == pytest.approx(4477.2)
    assert row.tpc == pytest.approx(9.7963, abs=1e-3)
    assert row.mctc == pytest.approx(50.50, abs=0.05)
    assert row.lcf == 39.5
    assert guess_of(stay, "ship.hydrostatics").share == pytest.approx(0.04)


def test_hydrostatics_from_the_type_of_ship(tmp_path: Path) -> None:
    """Block coefficient 0.804 with a deviation of 0.071: NILIM technical note 309, read."""
    stay = with_ship(tmp_path, "hydrostatics: {at_draught: 5.0, ship_type: general_cargo}")
    row = next(each for each in stay.ship.hydrostatics if each.draught == pytest.approx(5.0))
    assert row.displacement == pytest.approx(0.804 * 5740.0)
    guess = guess_of(stay, "ship.hydrostatics.ship_type")
    assert (guess.value, guess.spread) == (0.804, 0.071)
    assert guess_of(stay, "ship.hydrostatics.lcf").value == 40.0
    more = read_stay(stay.file, {"ship.hydrostatics.ship_type": 1.0}).ship.hydrostatics
    assert more[5].displacement == pytest.approx(0.875 * 5740.0)
    assert not [each for each in remarks_of(stay) if each.path.startswith("ship.hydrostatics")]


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ("{at_draught: 5}", "one key is missing, expected block_coefficient or displacement or ship_type"),
        ("{at_draught: 5, displacement: 1500}", "displacement: gives a block coefficient of 0.26"),
        ("{at_draught: 5, ship_type: tanker}", "'tanker' is not known here, expected general_cargo"),
        ("{at_draught: 5, block_coefficient: 1.2}", "'1.2' is out of bounds"),
        ("{block_coefficient: 0.8}", "ship.hydrostatics.at_draught: missing"),
    ],
)
def test_what_gives_no_hydrostatics_is_refused(entry: str, words: str, tmp_path: Path) -> None:
    assert words in faults_with(tmp_path, (DEPTH, f"{DEPTH}  hydrostatics: {entry}\n"))


def test_second_moments_of_a_box_and_of_a_parabola() -> None:
    """Exact: B L^3 / 12 and B L^3 / 30, here with 1.025 t/m3, over 100 L."""
    assert mctc_of(100.0, 20.0, 1.0) == pytest.approx(1.025 * 20.0 * 100.0**2 / 1200.0)
    assert mctc_of(100.0, 20.0, 2.0 / 3.0) == pytest.approx(1.025 * 20.0 * 100.0**2 / 3000.0)


@given(st.floats(0.4, 0.95), st.floats(3.0, 15.0))
def test_the_block_coefficient_rises_as_the_waterplane_says(block: float, draught: float) -> None:
    """dCb/dT = (Cw - Cb)/T, Munro-Smith, from memory."""
    step = 1e-5 * draught
    slope = (block_at(block, draught, draught + step) - block_at(block, draught, draught - step)) / (2 * step)
    assert slope == pytest.approx((waterplane_coefficient(block) - block) / draught, rel=1e-4)


@pytest.mark.parametrize("name", ["coal_berth", "coaster_quay", "product_jetty"])
def test_the_examples_own_tables_are_near_the_estimate(name: str) -> None:
    """Invented ships, with tables as booklets have them: TPC within 6 %, MCTC within 15 %."""
    ship = read_stay(CONFIGS / f"{name}.yaml").ship
    for row in ship.hydrostatics:
        block = block_coefficient(row.displacement, ship.lbp, ship.breadth, row.draught)
        plane = waterplane_coefficient(block)
        assert tpc_of(ship.lbp, ship.breadth, plane) == pytest.approx(row.tpc, rel=0.06)
        assert mctc_of(ship.lbp, ship.breadth, plane) == pytest.approx(row.mctc, rel=0.15)


def test_wind_areas_from_freeboard_and_house(tmp_path: Path) -> None:
    """By hand: freeboard 3.8 m, side 84 x 3.8 + 12 x 11 = 451.2 m2, front 14 x 14.8 x 0.85 = 176.1 m2,
    centroid (319.2 x 40 + 132 x 10) / 451.2 = 31.22 m."""
    stay = with_ship(tmp_path, "wind: {at_draught: 4.2, on_deck: [{x: 10, length: 12, height: 11}]}")
    wind = stay.ship.wind
    assert wind is not None
    assert (wind.side_m2, wind.front_m2) == pytest.approx((451.2, 176.12))
    assert wind.side_centroid_x == pytest.approx(31.22, abs=0.01)
    assert wind.area_band == pytest.approx(0.20)
    assert [each.path for each in stay.guesses] == [
        "ship.wind.front_m2",
        "ship.wind.side_m2",
        "ship.wind.side_centroid_x",
    ]


def test_an_area_that_is_given_is_no_guess(tmp_path: Path) -> None:
    entry = "wind: {at_draught: 4.2, side_m2: 480, front_m2: 170, on_deck: [{x: 10, length: 12, height: 11}]}"
    stay = with_ship(tmp_path, entry)
    assert stay.ship.wind is not None
    assert (stay.ship.wind.side_m2, stay.ship.wind.area_band) == (480.0, 0.0)
    assert [each.path for each in stay.guesses] == ["ship.wind.side_centroid_x"]


def test_areas_are_not_guessed_from_nothing(tmp_path: Path) -> None:
    found = faults_with(tmp_path, (DEPTH, f"{DEPTH}  wind: {{at_draught: 4.2}}\n"))
    assert "ship.wind.side_m2: missing" in found
    assert "or on_deck for a first guess" in found


def test_areas_are_not_guessed_of_a_ship_under_water(tmp_path: Path) -> None:
    wind = "wind: {at_draught: 8.5, on_deck: [{x: 10, length: 12, height: 11}]}"
    found = faults_with(tmp_path, (DEPTH, f"{DEPTH}  {wind}\n"))
    assert "ship.wind.at_draught: 8.5 m leaves no freeboard to guess areas from" in found


def test_the_weakest_of_chock_bitts_and_rope_limits_the_line(tmp_path: Path) -> None:
    stay = stay_with(
        tmp_path,
        (FB, "FB: {x: 80.0, y: -2.0, z: 9.0, swl_kn: 9 t}"),
        (FM, "FM: {x: 60.0, y: -7.0, z: 8.5, swl_kn: 12 t}"),
        (W1, f"{W1}\n    P1: {{x: 58, y: -5, z: 8.5, swl_kn: 8 t}}"),
        ("fairlead: FM, bollard", "fairlead: FM, winch: P1, bollard"),
    )
    # WLL of the rope is 100 kN: 9 t of the chock and 8 t of the bitts are less.
    assert [line.smallest_wll_kn for line in stay.lines] == pytest.approx([9 * G, 8 * G, 100.0])
    assert arrangement_of(stay).smallest_wll_kn == pytest.approx([9 * G, 8 * G, 100.0])
    assert {rule.subject for rule in rules_of(stay) if rule.cause == "load"} == {"1", "2"}
    rows = list(line_table(Afloat(stay)))
    assert "chock FB 9.0 t" in rows[1]
    assert "bitts P1 8.0 t" in rows[2]
    assert "WLL 10.2 t" in rows[3]


def test_a_line_that_is_shifted_passes_other_fittings(tmp_path: Path) -> None:
    stay = stay_with(tmp_path, (FB, "FB: {x: 80.0, y: -2.0, z: 9.0, swl_kn: 9 t}"))
    through, past = stay.lines[0], replace(stay.lines[0], fairlead="FM")
    assert with_fittings(stay.ship, past).fittings_kn is None
    assert with_fittings(stay.ship, past).smallest_wll_kn == 100.0
    assert with_fittings(stay.ship, replace(past, fairlead="FB")) == through
