"""Limits of OCIMF Mooring Equipment Guidelines, 2nd ed. 1997 (MEG2), and of a flag circular on SOLAS
II-1/3-8, as the mechanics and the default limits have them."""

import math

import pytest

from alongside.mechanics.lines import line_states
from alongside.mechanics.making_fast import unstretched_for
from alongside.stay.model import Limits, Rope, Tail
from tests.mechanics.stays import BREADTH, NYLON, WIRE, Lead, afloat, arranged, inclined


def test_steepness_defaults() -> None:
    """MEG2: at most 25 deg in the lightest ballast; berths preferably not above 30."""
    steep = Limits().steep_deg
    assert (steep.caution, steep.warning) == (25.0, 30.0)


@pytest.mark.parametrize(("rope", "fraction"), [(WIRE, 0.55), (NYLON, 0.50)], ids=["wire", "synthetic"])
def test_working_limit(rope: Rope, fraction: float) -> None:
    """Flag circular on SOLAS II-1/3-8: wire 55 %, all else 50 % of MBL."""
    arrangement = arranged(inclined(30.0, 4.0, rope))
    states = line_states(
        arrangement, afloat(), unstretched_for(arrangement, afloat(), fraction * rope.mbl_kn)
    )
    assert states.load_share[0, 0] == pytest.approx(1.0, abs=1e-9)
    assert states.stretch_share[0, 0] == pytest.approx(1.0, abs=1e-9)


def test_winch_brake_set_to_sixty_per_cent_of_breaking() -> None:
    """MEG2 7.5.6: set to 60 % MBL in service. At the working limit of a wire it is then 0.55/0.60 used."""
    lead = Lead(
        (60.0, -BREADTH / 2.0, 16.0),
        (100.0, -30.0, 6.0),
        WIRE,
        winch=(60.0, 0.0, 16.0),
        brake_kn=0.60 * 1110.0,
    )
    arrangement = arranged(lead)
    states = line_states(arrangement, afloat(), unstretched_for(arrangement, afloat(), 0.55 * 1110.0))
    assert states.tension_kn[0, 0] / arrangement.brake_kn[0] == pytest.approx(0.55 / 0.60, abs=1e-10)


def test_a_tail_stronger_than_the_wire_leaves_the_working_limit_to_the_wire_and_the_stretch_to_itself() -> (
    None
):
    """MEG2 and later summaries: a tail of 125-130 % of MBL and about 11 m."""
    tail = Tail(Rope("tail", "synthetic", 1.30 * 1110.0, NYLON.curve, 0.50), 11.0)
    arrangement = arranged(inclined(40.0, 6.0, WIRE, tail))
    assert arrangement.smallest_wll_kn[0] == pytest.approx(0.55 * 1110.0)
    states = line_states(arrangement, afloat(), unstretched_for(arrangement, afloat(), 300.0))
    assert states.load_share[0, 0] == pytest.approx(300.0 / 610.5, abs=1e-10)


@pytest.mark.parametrize(("angle", "off_abeam"), [(75.0, 15.0), (105.0, 15.0)])
def test_breast_line_at_the_edge_of_fifteen_degrees_from_abeam(angle: float, off_abeam: float) -> None:
    """MEG2: breast lines within 15 deg of abeam: they still pull in with 0.966 of what they carry (ours)."""
    along = 30.0 / math.tan(math.radians(angle))
    lead = Lead((60.0, -BREADTH / 2.0, 16.0), (100.0 + along, -30.0, 10.0))
    arrangement = arranged(lead)
    states = line_states(arrangement, afloat(), unstretched_for(arrangement, afloat(), 100.0))
    assert abs(states.horizontal_deg[0, 0] - 90.0) == pytest.approx(off_abeam, abs=1e-9)
    assert states.in_kn[0, 0] == pytest.approx(100.0 * math.cos(math.radians(15.0)), abs=1e-8)
