"""Sinkage, trim and heel by masses."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.forecast.expected.draughts import (
    displacement_of,
    draughts_with_masses,
    heel_with_masses,
    masses_on_board,
)
from alongside.stay.model import CargoOperation, HydrostaticRow, Marks, Ship, WindAreas


def ship(rows, lbp=120.0, marks=None, breadth=20.0):
    marks = marks or Marks(fwd=lbp, aft=0.0)
    wind = WindAreas(300.0, 900.0, 6.0)
    return Ship("Testbed", lbp + 6.0, lbp, breadth, 12.0, marks, {}, {}, wind, None, tuple(rows))


TEXTBOOK = ship([HydrostaticRow(draught=7.0, displacement=14000.0, tpc=10.0, mctc=250.0, lcf=60.0)])


def box(draughts, length=100.0, breadth=20.0, kg=4.0):
    """Rows of a box in salt water: TPC = L B 1.025 / 100, MCTC = W GM_L / (100 L)."""
    rows = []
    for draught in draughts:
        displacement = length * breadth * draught * 1.025
        gm_l = draught / 2.0 + length**2 / (12.0 * draught) - kg
        mctc = displacement * gm_l / (100.0 * length)
        rows.append(HydrostaticRow(draught, displacement, length * breadth * 0.01025, mctc, length / 2.0))
    return rows


def test_textbook_discharge_of_220_t_24_m_forward_of_flotation():
    # published textbook example: 6.70 F 7.30 A, MCTC 250, TPC 10, L 120 -> A 7.186, F 6.374
    fwd, aft = draughts_with_masses(TEXTBOOK, 6.70, 7.30, [[-220.0]], [60.0 + 24.0])
    assert aft[0] == pytest.approx(7.186, abs=0.0005)
    assert fwd[0] == pytest.approx(6.374, abs=0.0005)


def test_box_of_100_by_20_at_5_m():
    # ours on textbook formulas: TPC 20.5 t/cm, MCTC 169.3 t m/cm at KG 4 m
    row = box([5.0])[0]
    assert (row.tpc, row.mctc) == (pytest.approx(20.5, abs=0.05), pytest.approx(169.3, abs=0.05))
    vessel = ship(box([4.0, 5.0, 6.0]), lbp=100.0)
    fwd, aft = draughts_with_masses(vessel, 5.0, 5.0, [[205.0]], [50.0])
    np.testing.assert_allclose([fwd[0], aft[0]], [5.10, 5.10], atol=1e-9)  # 205 t at 20.5 t/cm: 10 cm


def test_marks_inside_the_perpendiculars_read_the_same_slope():
    vessel = ship(TEXTBOOK.hydrostatics, marks=Marks(fwd=110.0, aft=5.0))
    fwd, aft = draughts_with_masses(vessel, 6.70, 7.30, [[0.0]], [0.0])
    np.testing.assert_allclose([fwd[0], aft[0]], [6.70, 7.30], atol=1e-12)


def test_outside_the_table_there_is_no_draught():
    fwd, aft = draughts_with_masses(ship(box([4.0, 5.0]), lbp=100.0), 4.5, 4.5, [[3000.0]], [50.0])
    assert np.isnan(fwd[0])
    assert np.isnan(aft[0])


@given(st.floats(-800.0, 800.0), st.floats(5.0, 95.0), st.floats(-800.0, 800.0), st.floats(5.0, 95.0))
def test_order_of_loading_does_not_matter(first, x_first, second, x_second):
    rows = box([3.0, 4.0, 5.0, 6.0, 7.0])
    slanted = [HydrostaticRow(r.draught, r.displacement, r.tpc, r.mctc, 52.0 - 0.5 * r.draught) for r in rows]
    vessel = ship(slanted, lbp=100.0)
    at_once = draughts_with_masses(vessel, 4.9, 5.1, [[first, second]], [x_first, x_second])
    step = draughts_with_masses(vessel, 4.9, 5.1, [[first]], [x_first])
    then = draughts_with_masses(vessel, float(step[0][0]), float(step[1][0]), [[second]], [x_second])
    np.testing.assert_allclose(np.array(at_once).ravel(), np.array(then).ravel(), atol=5e-4)


def test_masses_follow_their_rate_and_stop():
    discharge = CargoOperation("hold 1", start=3600.0, tonnes=-500.0, rate=250.0, x=80.0)
    moved = masses_on_board([discharge], [0.0, 3600.0, 7200.0, 10800.0, 99999.0])
    np.testing.assert_allclose(moved[:, 0], [0.0, 0.0, -250.0, -500.0, -500.0])
    assert discharge.end == 10800.0


def test_heel_goes_down_on_the_loaded_side():
    # ours: tan(heel) = 100 t x 5 m / (10 000 t x 0.5 m) = 0.1
    to_starboard = heel_with_masses([[100.0]], [-5.0], [10000.0], gm=0.5)
    assert to_starboard[0] == pytest.approx(np.degrees(np.arctan(0.1)), rel=1e-12)
    assert heel_with_masses([[100.0]], [5.0], [10000.0], gm=0.5)[0] == -to_starboard[0]


def test_displacement_by_draughts_at_the_marks():
    # ours: even keel 5.0 m box of 100 x 20 floats 10 250 t; trimmed about its middle it floats the same
    vessel = ship(box([4.0, 5.0, 6.0]), lbp=100.0)
    assert displacement_of(vessel, 4.6, 5.4) == pytest.approx(10250.0, abs=1e-6)
