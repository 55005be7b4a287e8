"""Ship frame to berth frame against scipy's rotations, written independently of ours."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from alongside.mechanics.pose import in_place, ship_to_berth
from alongside.mechanics.state import Pose
from tests.mechanics.stays import BREADTH, Lead, afloat, arranged, situation

FORE, AFT, SHIP_X, BERTH_X = 117.0, 3.0, 60.0, 100.0
POINTS = np.array([[0.0, 0.0, 0.0], [120.0, -3.0, 14.0], [60.0, 10.0, 9.0], [SHIP_X, 0.0, 6.0]])
ANY = Lead((60.0, -10.0, 14.0), (100.0, -20.0, 5.0))


def by_scipy(point: np.ndarray, pose: Pose, row: int, base: float) -> np.ndarray:
    """One point at one instant; intrinsic turns about z, then y, then x."""
    heel, yaw = np.radians(pose.heel_deg[row]), pose.yaw[row]
    slope = (pose.draught_fwd[row] - pose.draught_aft[row]) / (FORE - AFT)
    turn = Rotation.from_euler("ZYX", [base + yaw, np.arctan(np.cos(heel) * slope), heel])
    reference = np.array([SHIP_X, 0.0, pose.draught_aft[row] + (SHIP_X - AFT) * slope])
    origin = np.array([BERTH_X + pose.surge[row], BREADTH / 2.0 + pose.sway[row], pose.tide[row]])
    placed: np.ndarray = origin + turn.apply(point - reference)
    return placed


@pytest.mark.parametrize(("alongside", "base"), [("starboard", 0.0), ("port", np.pi)])
def test_against_scipy(alongside: str, base: float) -> None:
    rng = np.random.default_rng(4)
    n = 50
    low = [-3.0, -1.0, -0.2, -2.0, 3.0, 3.0, -12.0]
    high = [3.0, 4.0, 0.2, 6.0, 12.0, 12.0, 12.0]
    pose = Pose(*rng.uniform(low, high, (n, 7)).T.copy())
    found = ship_to_berth(POINTS, pose, arranged(ANY, alongside="port" if base else "starboard"))
    assert found.shape == (n, len(POINTS), 3)
    expected = np.array([[by_scipy(p, pose, row, base) for p in POINTS] for row in range(n)])
    assert np.abs(found - expected).max() < 1e-12  # m


@given(st.floats(-5, 8), st.floats(2, 15), st.floats(2, 15), st.floats(-15, 15))
def test_marks_stand_in_the_water_at_their_draughts(
    tide: float, fwd: float, aft: float, heel_deg: float
) -> None:
    """The trim angle is such that with heel the points of the centreline at both draughts stay in the water
    plane, z = tide."""
    at_marks = np.array([[FORE, 0.0, fwd], [AFT, 0.0, aft]])
    berth = ship_to_berth(at_marks, afloat(tide, fwd, aft, heel_deg), arranged(ANY))
    assert berth[0, :, 2] == pytest.approx([tide, tide], abs=1e-12)


def test_senses_of_turning() -> None:
    """Heel puts the starboard side down, trim by the stern the stern; yaw turns the bow to port."""
    arrangement = arranged(ANY)
    starboard, stern, bow = np.array([[60.0, -10.0, 6.0], [0.0, 0.0, 6.0], [120.0, 0.0, 6.0]])
    upright = ship_to_berth(np.array([starboard, stern, bow]), afloat(), arrangement)[0]
    heeled = ship_to_berth(np.array([starboard]), afloat(heel_deg=2.0), arrangement)[0, 0]
    trimmed = ship_to_berth(np.array([stern]), afloat(fwd=5.0, aft=7.0), arrangement)[0, 0]
    turned = ship_to_berth(np.array([bow]), replace(afloat(), yaw=np.array([0.01])), arrangement)[0, 0]
    assert heeled[2] < upright[0, 2]
    assert trimmed[2] < upright[1, 2]
    assert turned[1] > upright[2, 1]


def test_place_lies_abreast_and_the_side_touches_the_fenders() -> None:
    side = np.array([[SHIP_X, -BREADTH / 2.0, 6.0]])
    berth = ship_to_berth(side, afloat(2.0), arranged(ANY))[0, 0]
    assert berth == pytest.approx([BERTH_X, 0.0, 2.0], abs=1e-12)


def test_in_place_floats_as_the_situation_says() -> None:
    pose = afloat([1.0, 2.0], 5.0, 6.0, 0.5)
    held = in_place(situation(pose))
    assert not held.surge.any()
    assert not held.sway.any()
    assert not held.yaw.any()
    assert held.tide is pose.tide


@pytest.mark.parametrize("lost", ["tide", "draught_fwd", "draught_aft", "heel_deg"])
def test_a_place_half_known_is_not_known(lost: str) -> None:
    pose = afloat([1.0, 2.0, 3.0])
    getattr(pose, lost)[1] = np.nan
    found = ship_to_berth(POINTS, pose, arranged(ANY))
    assert np.isnan(found[1]).all()
    assert not np.isnan(found[[0, 2]]).any()
