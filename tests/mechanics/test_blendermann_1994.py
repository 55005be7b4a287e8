"""Blendermann, J. Wind Eng. Ind. Aerodyn. 51 (1994) 339-351. The worked values are ours, by his formulas for
a container ship of AF 800 m2, AL 4000 m2, centroid 4 m abaft midships, Loa 200 m in 20 m/s: they catch
slips."""

import numpy as np
import pytest

from alongside.mechanics.coefficients.blendermann import SHIP_TYPES, blendermann
from alongside.mechanics.wind import wind_formula
from alongside.stay.model import Marks, Ship, WindAreas

FRONT, SIDE = np.array([800.0]), np.array([4000.0])
PRESSURE = np.array([0.0005 * 1.224 * 20.0**2])


def at(g_deg: float, kind: str = "container_ship") -> tuple[float, float, float]:
    found = blendermann(SHIP_TYPES[kind], np.radians([g_deg]), FRONT, SIDE, -4.0, 200.0)
    return tuple(float(each[0]) for each in found)  # type: ignore[return-value]


def ship(lbp: float, kind: str = "container_ship") -> Ship:
    areas = WindAreas(800.0, 4000.0, 10.0, side_centroid_x=lbp / 2 - 4.0, coefficients=kind)
    return Ship("Invented", 200.0, lbp, 30.0, 18.0, Marks(lbp - 5, 5.0), {}, {}, wind=areas)


def force(g_deg: float, lbp: float = 200.0) -> tuple[float, float, float]:
    made = ship(lbp)
    assert made.wind is not None
    found = wind_formula(made, made.wind)(np.radians([g_deg]), PRESSURE, FRONT, SIDE)
    return tuple(float(each[0]) for each in found)  # type: ignore[return-value]


def test_coefficients_at_45_deg() -> None:
    np.testing.assert_allclose(at(45.0), (-0.4717, 0.7719, 0.0937), atol=5e-5)


@pytest.mark.parametrize(
    ("g_deg", "fx", "fy", "moment"),
    [(45.0, -92.4, 755.9, 18348.0), (90.0, 0.0, 881.3, -3525.0), (150.0, 107.4, 507.5, -21160.0)],
)
def test_forces(g_deg: float, fx: float, fy: float, moment: float) -> None:
    found = force(g_deg)
    assert found[0] == pytest.approx(fx, abs=0.06)
    assert found[1] == pytest.approx(fy, abs=0.06)
    assert found[2] == pytest.approx(moment, abs=6.0)


def test_moment_is_the_same_whatever_length_it_is_referred_to() -> None:
    np.testing.assert_allclose(force(60.0, lbp=180.0), force(60.0, lbp=200.0), rtol=1e-12)


@pytest.mark.parametrize("kind", SHIP_TYPES)
def test_zero_is_ahead_and_a_wind_from_starboard_pushes_to_port(kind: str) -> None:
    assert at(0.0, kind)[0] < 0.0
    assert at(180.0, kind)[0] > 0.0
    assert at(90.0, kind)[1] > 0.0
    assert at(270.0, kind)[1] < 0.0
    assert at(0.0, kind)[1] == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("kind", SHIP_TYPES)
@pytest.mark.parametrize("g_deg", [10.0, 77.0, 90.0, 133.0, 179.0])
def test_port_mirrors_starboard(kind: str, g_deg: float) -> None:
    cx, cy, cn = at(g_deg, kind)
    np.testing.assert_allclose(at(360.0 - g_deg, kind), (cx, -cy, -cn), rtol=1e-9, atol=1e-12)


def test_values_of_the_table() -> None:
    """Transverse, from ahead, from astern, cross: as read in an open teaching library."""
    given = {name: (s.transverse, s.from_ahead, s.from_astern, s.cross) for name, s in SHIP_TYPES.items()}
    assert given["car_carrier"] == (0.95, 0.55, 0.60, 0.80)
    assert given["tanker_loaded"] == (0.70, 0.90, 0.55, 0.40)
    assert given["tanker_ballast"] == (0.70, 0.75, 0.55, 0.40)
    assert given["offshore_supply"] == (0.90, 0.55, 0.80, 0.55)
    assert len(given) == 11
