"""Fenders against plane geometry and the principle of virtual work. Expected values: ours."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from alongside.mechanics.fenders import (
    fender_curve,
    fender_row,
    push,
    side_distance,
    side_gradient,
)
from alongside.stay.model import Fender
from tests.mechanics.moored import BUCKLING, work_done

ROW = fender_row(
    [Fender(50.0, table=BUCKLING), Fender(90.0, stiffness_kn_per_m=2000.0), Fender(150.0, table=BUCKLING)]
)
BREADTH = 31.0


def pressed(depth: float, fender: int = 0) -> float:
    side = np.zeros((3, 1))
    side[fender] = -depth
    return float(push(ROW, side).reaction[fender, 0])


def test_reaction_is_straight_between_rows_and_may_fall() -> None:
    assert pressed(0.10) == pytest.approx(260.0)
    assert pressed(0.175) == pytest.approx(390.0)
    assert pressed(0.25) == pytest.approx(520.0)
    assert pressed(0.325) == pytest.approx(485.0)
    assert pressed(0.75) == pytest.approx(1100.0 + 0.10 * 4600.0)


def test_stiffness_alone_is_a_straight_line() -> None:
    assert pressed(0.3, fender=1) == pytest.approx(600.0)
    assert pressed(3.0, fender=1) == pytest.approx(6000.0)


def test_no_reaction_out_of_contact() -> None:
    pushed = push(ROW, np.full((3, 2), 0.01))
    assert not pushed.reaction.any()
    assert not pushed.stiffness.any()


def test_a_table_that_ends_falling_never_pulls() -> None:
    row = fender_row([Fender(0.0, table=((0.0, 0.0), (0.2, 100.0), (0.3, 50.0)))])
    pushed = push(row, np.array([[-0.35, -0.40, -5.0]]))
    np.testing.assert_allclose(pushed.reaction, [[25.0, 0.0, 0.0]], atol=1e-9)
    assert pushed.stiffness[0, 2] == 0.0


@pytest.mark.parametrize(
    "rows", [[(0, 0)], [(0, 5), (1, 10)], [(0, 0), (0.2, 10), (0.1, 20)], [(0, 0), (0.1, -5)]]
)
def test_a_table_that_is_no_fender_is_refused(rows: list[tuple[float, float]]) -> None:
    with pytest.raises(ValueError, match="fender"):
        fender_curve(rows)


def test_side_of_a_turned_ship_is_the_line_through_her_side() -> None:
    yaw, x0, y0 = 0.03, 101.0, 15.2
    cos, sin = np.cos(yaw), np.sin(yaw)

    def corner(along: float) -> tuple[float, float]:
        return x0 + along * cos + BREADTH / 2 * sin, y0 + along * sin - BREADTH / 2 * cos

    (xa, ya), (xb, yb) = corner(-80.0), corner(80.0)
    expected = ya + (ROW.x - xa) * (yb - ya) / (xb - xa)
    found = side_distance(ROW, BREADTH, np.array([x0]), np.array([y0]), np.array([yaw]))
    np.testing.assert_allclose(found[:, 0], expected, atol=1e-12)


@given(
    surge=st.floats(-2, 2),
    sway=st.floats(-0.5, 0.3),
    yaw=st.floats(-0.03, 0.03),
)
def test_push_is_the_slope_of_the_work_done(surge: float, sway: float, yaw: float) -> None:
    pose = np.array([surge, sway, yaw])

    def work(at: np.ndarray) -> float:
        side = side_distance(ROW, BREADTH, 100.0 + at[:1], BREADTH / 2 + at[1:2], at[2:])
        return float(work_done(ROW, side)[0])

    side = side_distance(ROW, BREADTH, 100.0 + pose[:1], BREADTH / 2 + pose[1:2], pose[2:])
    assume((np.abs(side) > 1e-3).all())  # the slope by differences is not one where a fender just touches
    pushed = push(ROW, side)
    by_surge, by_yaw = side_gradient(ROW, BREADTH, 100.0 + pose[:1], pose[2:])
    force = np.array(
        [
            (pushed.reaction * by_surge).sum(),
            pushed.reaction.sum(),
            (pushed.reaction * by_yaw).sum(),
        ]
    )
    step = 1e-6
    slope = [(work(pose + step * e) - work(pose - step * e)) / (2 * step) for e in np.eye(3)]
    # Work taken from the ship: the push is against its growth.
    np.testing.assert_allclose(force, -np.array(slope), rtol=1e-4, atol=0.5)
