"""Current on the hull: UFC 4-159-03 and the tanker curves of MEG2."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.mechanics.coefficients.tanker import (
    CURRENT_AFT,
    CURRENT_FORWARD,
    FROM_ASTERN_DEG,
    tanker_current,
)
from alongside.mechanics.current import (
    AGROUND,
    cross_flow_drag,
    current_formula,
    deep_water_drag,
    displaced_volume,
    drag_along,
    friction_coefficient,
    propeller_area,
    turning_lever,
    wetted_surface,
)
from alongside.stay.model import CurrentCoefficients, HydrostaticRow, Marks, Ship
from alongside.units import KNOT

CARGO = Ship("Invented", 205.0, 200.0, 32.2, 18.0, Marks(195.0, 5.0), {}, {})


@pytest.mark.parametrize(
    ("depth", "force_mn"), [(45.7, 0.55), (15.2, 0.66), (7.62, 1.03), (6.096, 1.30), (4.572, 1.90)]
)
def test_beam_current_on_a_frigate(depth: float, force_mn: float) -> None:
    """UFC 4-159-03 Table 4-6, read; C0 0.851 and 0.5 rho V^2 L T = 630 kN back-solved from it (ours)."""
    drag = cross_flow_drag(np.array(0.851), np.array(4.389 / depth))
    assert 0.630 * float(drag) == pytest.approx(force_mn, abs=0.011)


def test_deep_water_drag_of_that_frigate() -> None:
    """UFC eq. 12 and 13. Her dimensions (L 124.36 m, B 13.72 m, Am 0.75 B T, 3590 m3) are from memory; they
    give the back-solved 0.851 within 5 %."""
    drag = deep_water_drag(
        np.array(124.36), np.array(13.72), np.array(0.75 * 13.72 * 4.389), np.array(3590.0)
    )
    assert float(drag) == pytest.approx(0.851, rel=0.05)


def test_water_shallower_than_the_draught_counts_as_aground() -> None:
    assert float(cross_flow_drag(np.array(0.8), np.array(1.3))) == AGROUND


def test_drag_along_a_cargo_ship() -> None:
    """UFC eq. 15-23, read; 60 000 t, 200 x 32.2 x 12 m, 1 m/s: 19.82 + 8.89 + 16.43 = 45.14 kN (ours). The
    source's density is 1026 kg/m3."""
    volume, draught = np.array([60000.0 / 1.026]), np.array([12.0])
    parts = drag_along(CARGO, np.zeros(1), np.array([1.0]), draught, volume)
    force = [0.0005 * 1026.0 * float(part[0]) for part in parts]
    np.testing.assert_allclose(force, [19.82, 8.89, 16.43], atol=0.006)
    assert sum(force) == pytest.approx(45.14, abs=0.01)


def test_parts_of_the_drag_along() -> None:
    assert float(friction_coefficient(np.array(1.0), 200.0, np.array(1.0))) == pytest.approx(
        0.075 / (np.log10(200.0 / 1.191e-6) - 2) ** 2
    )
    surface = float(wetted_surface(np.array(12.0), 200.0, np.array(58537.0)))
    assert surface == pytest.approx(4080.0 + 58537.0 / 12.0)
    assert propeller_area(200.0, 32.2) == pytest.approx(200.0 * 32.2 / 240.0 / 0.838)


def at(
    g_deg: float, given: str | tuple[tuple[float, float, float, float], ...] = "rule", depth: float = 20.0
):
    formula = current_formula(CARGO, CurrentCoefficients(given))
    found = formula(np.radians([g_deg]), np.array([2.0 * KNOT]), np.array([12.0]), np.array([depth]))
    return tuple(float(each[0]) for each in found)


@pytest.mark.parametrize("given", ["rule", "meg2_tanker_loaded"])
def test_zero_is_ahead_and_a_current_from_starboard_pushes_to_port(given: str) -> None:
    assert at(0.0, given)[0] < 0.0 < at(180.0, given)[0]
    assert at(90.0, given)[1] > 0.0 > at(270.0, given)[1]
    x, y, moment = at(40.0, given)
    np.testing.assert_allclose(at(320.0, given), (x, -y, -moment), rtol=1e-9, atol=1e-9)


def test_force_across_grows_as_the_water_shoals_and_is_greatest_where_the_depth_is_not_known() -> None:
    deep, shallow, unknown = at(90.0)[1], at(90.0, depth=13.0)[1], at(90.0, depth=float("nan"))[1]
    assert deep < shallow < unknown
    assert unknown == pytest.approx(0.0005 * 1025.0 * (2 * KNOT) ** 2 * 12.0 * 200.0 * AGROUND)


def test_inline_table_is_by_draught_and_length() -> None:
    rows = ((0.0, -0.1, 0.0, 0.0), (90.0, 0.0, 0.9, 0.05), (180.0, 0.1, 0.0, 0.0), (270.0, 0.0, -0.9, -0.05))
    pressure = 0.0005 * 1025.0 * (2 * KNOT) ** 2
    expected = (0.0, pressure * 0.9 * 12.0 * 200.0, pressure * 0.05 * 12.0 * 200.0**2)
    np.testing.assert_allclose(at(90.0, rows), expected, rtol=1e-12, atol=1e-9)


@pytest.mark.parametrize(("coefficient", "force"), [(0.175, 597.0), (0.45, 1534.0)])
def test_current_on_a_large_tanker(coefficient: float, force: float) -> None:
    """MEG2 App. D: 2 kn, T 19.2 m, Lbp 329.3 m, rho 1025; its 7600 rounds 7557 (0.6 %)."""
    tanker = replace(CARGO, loa=345.0, lbp=329.3, breadth=58.0, marks=Marks(320.0, 9.0))
    rows = ((0.0, 0.0, coefficient, 0.0), (180.0, 0.0, coefficient, 0.0))
    formula = current_formula(tanker, CurrentCoefficients(rows))
    found = formula(np.zeros(1), np.array([2.0 * KNOT]), np.array([19.2]), np.array([25.0]))
    assert float(found[1][0]) == pytest.approx(force, rel=0.0065)


def test_meg2_current_counts_from_astern() -> None:
    """Digitised, loaded, depth 1.1 draughts."""
    for from_astern, aft, forward in zip(FROM_ASTERN_DEG, CURRENT_AFT, CURRENT_FORWARD, strict=True):
        _, cy, cn = tanker_current()(np.radians([180.0 - from_astern]))
        assert float(cy[0]) == pytest.approx(aft + forward, abs=1e-12)
        assert float(cn[0]) == pytest.approx((forward - aft) / 2, abs=1e-12)


@pytest.mark.parametrize(
    ("off_bow", "lever"), [(10.0, 0.309), (20.0, 0.274), (40.0, 0.203), (90.0, 0.0267), (170.0, -0.256)]
)
def test_the_current_of_the_rule_turns_her_by_the_lever_of_ufc(off_bow: float, lever: float) -> None:
    """UFC 4-159-03 eq. 24-25, N = FY L (-0.291 + 0.00353 h), h off the stern: constants from memory."""
    lbp = CARGO.lbp
    for attack, side in ((off_bow, 1.0), (360.0 - off_bow, -1.0)):
        _, across, moment = at(attack, "rule")
        assert across * side > 0.0
        assert moment / (across * lbp) == pytest.approx(lever, abs=5e-4)


def test_the_lever_is_near_that_of_the_digitised_tanker_curves() -> None:
    """OCIMF MEG2, read: 0.211, 0.229 and 0.177 of the length at 10, 20 and 40 deg off the bow, -0.314 at
    170."""
    for off_bow, read in ((10.0, 0.211), (20.0, 0.229), (40.0, 0.177), (170.0, -0.314)):
        _, cy, cn = tanker_current()(np.radians([off_bow]))
        assert float(cn[0] / cy[0]) == pytest.approx(read, abs=0.002)
        assert float(turning_lever(np.radians(off_bow))) == pytest.approx(read, abs=0.10)


def test_volume_from_hydrostatics_or_block_coefficient() -> None:
    assert float(displaced_volume(CARGO, np.array(10.0))) == pytest.approx(0.8 * 200 * 32.2 * 10)
    rows = (HydrostaticRow(8.0, 41000.0, 55, 700, 99), HydrostaticRow(10.0, 51250.0, 56, 720, 99))
    told = replace(CARGO, hydrostatics=rows)
    assert float(displaced_volume(told, np.array(9.0))) == pytest.approx(45000.0)


def test_a_set_that_is_not_known_is_refused() -> None:
    with pytest.raises(ValueError, match="no current coefficients"):
        current_formula(CARGO, CurrentCoefficients("guess"))
