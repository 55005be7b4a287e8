"""Draught survey arithmetic."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.errors import WrongInput
from alongside.forecast.expected.draughts import draughts_with_masses
from alongside.forecast.expected.hydrostatics import (
    accept_hydrostatics,
    box,
    draught_in_water,
    fresh_water_allowance,
    mean_of_means,
    survey,
)
from alongside.mechanics.gangway import height_over_quay
from alongside.stay.model import HydrostaticRow, Marks, Ship

MM = 1e-3


def test_marks_to_perpendiculars_means_heel_and_hog():
    # inputs read in a draught survey example (Lbp 179 m, marks 1.70 and 9.45 m inside), outputs ours; the
    # breadth is not given there: 32.3 m makes the heel 0.23 deg
    found = survey((10.79, 10.81), (10.90, 11.03), (11.16, 11.19), 179.0, 32.3, 1.70, 9.45)
    assert found.fwd == pytest.approx(10.7962, abs=0.00005)
    assert found.aft == pytest.approx(11.1961, abs=0.00005)
    assert found.mean_of_means == pytest.approx(10.9728, abs=0.00005)
    assert found.heel_deg == pytest.approx(0.23, abs=0.005)
    assert found.hog == pytest.approx(31 * MM, abs=0.5 * MM)
    assert found.trim == pytest.approx(0.3999, abs=0.00005)


def test_mean_of_means():
    # ours: (8.00 + 6 x 8.36 + 8.60) / 8
    assert mean_of_means(8.00, 8.36, 8.60) == pytest.approx(8.345, abs=1e-12)


def test_fresh_water_allowance():
    # textbook example, read: 16 000 t, TPC 20 -> 200 mm; 8.00 m in salt water is 8.20 m in fresh
    assert fresh_water_allowance(16000.0, 20.0) == pytest.approx(0.200, abs=1e-12)
    assert draught_in_water(8.00, 16000.0, 20.0, 1.000) == pytest.approx(8.20, abs=1e-12)
    assert draught_in_water(8.00, 16000.0, 20.0, 1.025) == 8.00


def test_box_tpc_and_mctc():
    # ours: 100 x 20 x 5 m, KG 4 m
    row = box([5.0], 100.0, 20.0, 4.0)[0]
    assert row.tpc == pytest.approx(20.5, abs=0.05)
    assert row.mctc == pytest.approx(169.3, abs=0.05)


def test_textbook_discharge_through_the_table():
    # textbook example, read: 6.70 F 7.30 A, MCTC 250, TPC 10, L 120, LCF midships; 220 t out, 24 m forward of
    # it: rise 22 cm, trim +21.12 cm, A 7.186, F 6.374
    row = HydrostaticRow(7.0, 14000.0, 10.0, 250.0, 60.0)
    ship = Ship("Invented", 126.0, 120.0, 18.0, 10.0, Marks(120.0, 0.0), {}, {}, hydrostatics=(row,))
    fwd, aft = draughts_with_masses(ship, 6.70, 7.30, [[-220.0]], [84.0])
    assert aft[0] == pytest.approx(7.186, abs=0.5 * MM)
    assert fwd[0] == pytest.approx(6.374, abs=0.5 * MM)
    assert (aft[0] - fwd[0]) - 0.60 == pytest.approx(0.2112, abs=0.05 * MM)


def test_fairlead_over_its_bollard():
    # ours: 3.20 + 15.00 - 8.195 - 5.50
    assert height_over_quay(3.20, 15.00, 8.195, 5.50) == pytest.approx(4.505, abs=1e-12)


def test_hydrostatics_that_contradict_themselves_are_refused():
    good = box([4.0, 5.0], 100.0, 20.0, 4.0)
    assert accept_hydrostatics(good, "stay.yaml: ship.hydrostatics") == tuple(good)
    wrong = [good[0], HydrostaticRow(5.0, good[1].displacement + 45.0, good[1].tpc, good[1].mctc, 50.0)]
    with pytest.raises(WrongInput, match=r"ship\.hydrostatics: .*from 4 to 5 m, TPC makes it 2050 t.*2 %"):
        accept_hydrostatics(wrong, "stay.yaml: ship.hydrostatics")
    with pytest.raises(WrongInput, match="empty"):
        accept_hydrostatics([], "ship.hydrostatics")


@given(st.floats(2.0, 12.0), st.floats(-0.02, 0.02))
def test_a_straight_hull_has_no_hog_wherever_its_marks_are(draught, slope):
    at = {x: draught - slope * (x - 90.0) for x in (9.45, 89.5 + 0.5, 177.3)}
    fwd, mid, aft = at[177.3], at[90.0], at[9.45]
    found = survey((fwd, fwd), (mid, mid), (aft, aft), 180.0, 30.0, 180.0 - 177.3, 9.45)
    assert found.hog == pytest.approx(0.0, abs=1e-9)
    assert found.trim == pytest.approx(180.0 * slope, abs=1e-9)
