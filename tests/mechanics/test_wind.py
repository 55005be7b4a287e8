"""Wind on the hull: the rule of thumb, tables, areas, and what reaches the berth frame."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.mechanics.coefficients.tanker import (
    FROM_ASTERN_DEG,
    WIND_AFT,
    WIND_ALONG,
    WIND_FORWARD,
    tanker_wind,
)
from alongside.mechanics.exposure import NO_CURRENT, NO_WIND, exposure_of, loads_of
from alongside.mechanics.flow import PeriodicTable
from alongside.mechanics.wind import areas_at, wind_coefficients, wind_formula
from alongside.stay.model import Marks, Ship, Stay, WindAreas
from alongside.units import KNOT, G
from tests.mechanics.moored import blown
from tests.mechanics.stays import Lead, stay_with

AREAS = WindAreas(700.0, 2600.0, 8.0, side_centroid_x=85.0, coefficients="rule")
SHIP = Ship("Invented", 183.0, 176.0, 31.0, 17.0, Marks(172.0, 4.0), {}, {}, wind=AREAS)


def coefficients(areas: WindAreas, g_deg: float) -> tuple[float, float, float]:
    front, side = np.array([areas.front_m2]), np.array([areas.side_m2])
    found = wind_coefficients(SHIP, areas)(np.radians([g_deg]), front, side)
    return tuple(float(each[0]) for each in found)  # type: ignore[return-value]


@pytest.mark.parametrize(("speed", "tonnes"), [(10.0, 5.56), (20.0, 22.2), (30.0, 50.0)])
def test_seamens_rule_beam_on(speed: float, tonnes: float) -> None:
    """V^2/18 tonnes per 1000 m2, from memory; the coefficient 0.892 stands for it within 0.3 %."""
    areas = replace(AREAS, side_m2=1000.0)
    pressure = np.array([0.0005 * 1.224 * speed**2])
    _, across, _ = wind_formula(SHIP, areas)(
        np.radians([90.0]), pressure, np.array([0.0]), np.array([1000.0])
    )
    assert speed**2 / 18.0 == pytest.approx(tonnes, abs=0.05)
    assert float(across[0]) / G == pytest.approx(speed**2 / 18.0, rel=3e-3)
    assert coefficients(areas, 90.0)[1] == pytest.approx(0.892)


def test_rule_goes_with_sine_and_cosine_and_acts_at_the_centroid() -> None:
    cx, cy, cn = coefficients(AREAS, 30.0)
    assert cx == pytest.approx(-0.892 * np.cos(np.pi / 6))
    assert cy == pytest.approx(0.892 * 0.5)
    assert cn == pytest.approx(cy * (85.0 - 88.0) / 176.0)


@pytest.mark.parametrize("condition", ["loaded", "ballast"])
def test_meg2_counts_from_astern_and_splits_at_the_perpendiculars(condition: str) -> None:
    """OCIMF MEG2, digitised: its head wind is 180. Fy = fwd + aft, N = (fwd - aft) Lbp / 2."""
    areas = replace(AREAS, coefficients=f"meg2_tanker_{condition}")
    rows = zip(
        FROM_ASTERN_DEG, WIND_ALONG[condition], WIND_AFT[condition], WIND_FORWARD[condition], strict=True
    )
    for from_astern, along, aft, forward in rows:
        found = coefficients(areas, 180.0 - from_astern)
        np.testing.assert_allclose(found, (along, aft + forward, (forward - aft) / 2), atol=1e-12)
    assert coefficients(areas, 0.0)[0] < 0.0
    assert coefficients(areas, 90.0)[1] > 0.0


def test_meg2_head_wind_of_the_worked_example() -> None:
    """MEG2 App. D: 60 kn, C -0.73, 818 m2 gives -346 kN (SI -347.9: its 7600 rounds 7557)."""
    pressure = 0.0005 * 1.223 * (60.0 * KNOT) ** 2
    assert -0.73 * pressure * 818.0 == pytest.approx(-347.9, abs=0.1)
    cx, _, _ = tanker_wind("ballast")(np.radians([10.0]))
    assert float(cx[0]) == pytest.approx(-0.73)


def test_inline_table_is_straight_between_rows_and_closes_the_circle() -> None:
    table = PeriodicTable([(30.0, 1.0, 0.0, 0.1), (120.0, 4.0, 3.0, 0.4), (300.0, 2.0, -3.0, 0.2)])
    cx, cy, cn = table(np.radians([75.0, 345.0, -15.0, 705.0, 30.0]))
    np.testing.assert_allclose(cx, [2.5, 1.5, 1.5, 1.5, 1.0])
    np.testing.assert_allclose(cy, [1.5, -1.5, -1.5, -1.5, 0.0], atol=1e-12)
    np.testing.assert_allclose(cn, [0.25, 0.15, 0.15, 0.15, 0.1])


def test_inline_table_from_0_to_360() -> None:
    table = PeriodicTable([(0.0, -1.0, 0.0, 0.0), (180.0, 1.0, 0.0, 0.0), (360.0, -1.0, 0.0, 0.0)])
    np.testing.assert_allclose(table(np.radians([0.0, 90.0, 359.0]))[0], [-1.0, 0.0, -1 + 2 / 180])


def test_areas_follow_the_draught() -> None:
    front, side = areas_at(AREAS, SHIP, np.array([8.0, 7.0, 100.0]))
    np.testing.assert_allclose(front, [700.0, 731.0, 0.0])
    np.testing.assert_allclose(side, [2600.0, 2776.0, 0.0])


def test_a_set_that_is_not_known_is_refused() -> None:
    with pytest.raises(ValueError, match="no wind coefficients"):
        wind_coefficients(SHIP, replace(AREAS, coefficients="guess"))


def exposed(alongside: str, bearing: float = 70.0) -> Stay:
    lead = Lead((60.0, -9.0 if alongside == "starboard" else 9.0, 12.0), (100.0, -10.0, 5.0))
    stay = stay_with([lead], alongside, place=(52.0, 100.0))  # type: ignore[arg-type]
    wind = WindAreas(350.0, 1300.0, 6.0, side_centroid_x=63.0, coefficients="rule")
    return replace(stay, ship=replace(stay.ship, wind=wind), berth=replace(stay.berth, bearing_of_x=bearing))


@pytest.mark.parametrize("alongside", ["starboard", "port"])
def test_wind_off_the_quay_pushes_off_and_turns_about_p0(alongside: str) -> None:
    """Berth +x bears 070, so the quay lies on 160 and a wind from there is abeam. Force at the centroid of
    the side, 63 m forward of the aft perpendicular; P0 lies at 52 m."""
    loads, without = loads_of(exposure_of(exposed(alongside)), blown(wind=(20.0, 160.0)))
    fx, fy, moment = loads.at(np.zeros(1))[:, 0]
    expected = 0.892 * 0.0005 * 1.224 * 400.0 * 1300.0
    assert fx == pytest.approx(0.0, abs=1e-9)
    assert fy == pytest.approx(expected, rel=1e-12)
    head = 1.0 if alongside == "starboard" else -1.0
    assert moment == pytest.approx(head * (63.0 - 52.0) * expected, rel=1e-12)
    assert without[0] == NO_CURRENT


@pytest.mark.parametrize("alongside", ["starboard", "port"])
def test_wind_along_the_berth(alongside: str) -> None:
    """From 250 it blows towards 070, berth +x, whichever way she heads."""
    loads, _ = loads_of(exposure_of(exposed(alongside)), blown(wind=(20.0, 250.0)))
    fx, fy, _ = loads.at(np.zeros(1))[:, 0]
    assert fx == pytest.approx(0.892 * 0.0005 * 1.224 * 400.0 * 350.0, rel=1e-12)
    assert fy == pytest.approx(0.0, abs=1e-9)


@given(yaw=st.floats(-0.2, 0.2), wind_from=st.floats(0, 360))
def test_a_yaw_turns_the_ship_in_the_wind(yaw: float, wind_from: float) -> None:
    """A ship yawed by some degrees at one berth is a ship in place at a berth that is turned as much."""
    turned, _ = loads_of(exposure_of(exposed("starboard")), blown(wind=(15.0, wind_from)))
    other, _ = loads_of(
        exposure_of(exposed("starboard", 70.0 - np.degrees(yaw))), blown(wind=(15.0, wind_from))
    )
    fx, fy, moment = turned.at(np.array([yaw]))[:, 0]
    gx, gy, other_moment = other.at(np.zeros(1))[:, 0]
    cos, sin = np.cos(yaw), np.sin(yaw)
    np.testing.assert_allclose((fx, fy), (gx * cos - gy * sin, gx * sin + gy * cos), atol=1e-6)
    assert moment == pytest.approx(other_moment, abs=1e-6)


def test_wind_that_is_not_known_is_left_out_and_said() -> None:
    seen = blown(n=4, wind=(np.array([10.0, np.nan, 10.0, 0.0]), np.array([160.0, 160.0, np.nan, np.nan])))
    loads, without = loads_of(exposure_of(exposed("starboard")), seen)
    force = loads.at(np.zeros(4))
    np.testing.assert_array_equal(without & NO_WIND, [0, NO_WIND, NO_WIND, 0])
    assert force[1, 0] > 0.0
    assert not force[:, 1:].any()


def test_a_gust_factor_goes_with_the_square() -> None:
    exposure, seen = exposure_of(exposed("starboard")), blown(wind=(10.0, 190.0))
    plain, gusty = loads_of(exposure, seen)[0], loads_of(exposure, seen, gust_factor=1.3)[0]
    np.testing.assert_allclose(gusty.at(np.zeros(1)), 1.69 * plain.at(np.zeros(1)))
