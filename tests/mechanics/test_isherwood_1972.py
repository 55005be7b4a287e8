"""Isherwood, Trans. RINA 115 (1972) 327-338: his regression's conventions and its table, as read in an open
teaching library. One row is worked out by hand (ours)."""

import numpy as np
import pytest

from alongside.mechanics.coefficients.isherwood import Profile, isherwood

SHIP = Profile(
    loa=180.0, breadth=30.0, perimeter_m=240.0, superstructure_m2=600.0, centroid_from_bow=92.0, mast_groups=3
)
FRONT, SIDE = np.array([700.0]), np.array([2600.0])


def at(g_deg: float) -> tuple[float, float, float]:
    found = isherwood(SHIP, np.radians([g_deg]), FRONT, SIDE)
    return tuple(float(each[0]) for each in found)  # type: ignore[return-value]


def test_one_row_worked_by_hand() -> None:
    area, front, slender = 2 * 2600.0 / 180.0**2, 2 * 700.0 / 30.0**2, 6.0
    perimeter, centroid = 240.0 / 180.0, 92.0 / 180.0
    cx = -(1.726 - 6.54 * area + 0.189 * front - 0.173 * slender + 0.348 * perimeter + 0.048 * 3)
    cy = 1.164 + 1.26 * area + 0.121 * front - 0.242 * perimeter - 0.95 * centroid
    cn = 0.1759 + 0.573 * area + 0.0118 * slender - 0.523 * centroid
    np.testing.assert_allclose(at(50.0), (cx, cy, cn), rtol=1e-12)


def test_straight_between_rows() -> None:
    np.testing.assert_allclose(at(55.0), (np.array(at(50.0)) + np.array(at(60.0))) / 2, rtol=1e-12)


def test_angles_count_from_ahead_and_starboard_pushes_to_port() -> None:
    assert at(0.0)[0] < 0.0 < at(180.0)[0]
    assert at(90.0)[1] > 0.0
    assert at(45.0)[2] > 0.0


@pytest.mark.parametrize("g_deg", [0.0, 35.0, 90.0, 155.0, 180.0])
def test_port_mirrors_starboard(g_deg: float) -> None:
    cx, cy, cn = at(g_deg)
    np.testing.assert_allclose(at(360.0 - g_deg), (cx, -cy, -cn), rtol=1e-9, atol=1e-12)
