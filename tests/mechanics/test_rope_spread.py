"""Ropes at the ends of their bands: what a line then carries, against its curve turned about by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.lines import line_states
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.rope_spread import other_ropes, with_other_ropes
from alongside.stay.model import Stay, Tail
from tests.mechanics.stays import NYLON, POLYESTER, WIRE, afloat, inclined, stay_with

STAY = stay_with(
    [inclined(25.0, 8.0), inclined(60.0, 8.0, POLYESTER, Tail(NYLON, 11.0)), inclined(40.0, 5.0, WIRE)]
)
OWN = arrangement_of(STAY)
FAST = np.array([[line.made_fast.tension_kn for line in STAY.lines]])

places = st.floats(-2.0, 2.0)
tides = st.floats(0.0, 4.0)


def lengths(tide: float = 1.0) -> np.ndarray:
    """Main rope out, m, of lines made fast as stated at a tide."""
    return unstretched_for(OWN, afloat(tide), FAST)[0]


@pytest.mark.slow
@given(places, places, tides)
def test_made_fast_with_other_ropes_a_line_carries_the_tension_of_its_place_in_the_band(
    stiffness: float, tension: float, tide: float
) -> None:
    other = other_ropes(STAY, OWN, stiffness, tension)
    states = line_states(other.arrangement, afloat(tide), other.lengths(lengths(tide)))
    assert states.tension_kn[0] == pytest.approx(FAST[0] * (1.0 + 0.30 * tension), rel=1e-9)


def test_in_the_middle_of_its_bands_a_stay_is_itself() -> None:
    other = other_ropes(STAY, OWN, 0.0, 0.0)
    assert other.lengths(lengths()) == pytest.approx(lengths(), rel=1e-12)


@pytest.mark.parametrize("end", [-1.0, 1.0])
def test_with_a_risen_tide_a_line_carries_what_its_curve_says_turned_about_by_hand(end: float) -> None:
    """0.25 and 0.30: common practice, no source."""
    other = other_ropes(STAY, OWN, end, end)
    here = line_states(other.arrangement, afloat(1.1), other.lengths(lengths()))
    stiffer, harder = 1.0 + 0.25 * end, 1.0 + 0.30 * end
    for line, parts in enumerate(([POLYESTER], [POLYESTER, NYLON], [WIRE])):
        stated = FAST[0, line]
        path = stretched(parts, stated, lengths()[line], 1.0)
        main_m = brentq(
            lambda m, p=parts, t=stated, path=path: stretched(p, t * harder, m, stiffer) - path, 1.0, 200.0
        )
        then = float(here.path_m[0, line])
        load = brentq(
            lambda kn, p=parts, m=main_m, then=then: stretched(p, kn, m, stiffer) - then, 0.0, 600.0
        )
        assert float(here.tension_kn[0, line]) == pytest.approx(load, rel=1e-7)


def stretched(parts, load_kn, main_m, factor):
    """Length under load, m, of a main rope and a tail of 11 m `factor` times as stiff as their curves."""
    strains = [strain_at(rope, load_kn / rope.mbl_kn) / factor for rope in parts]
    return sum(m * (1.0 + strain) for m, strain in zip((main_m, 11.0), strains, strict=False))


def strain_at(rope, fraction):
    """Strain at a share of MBL, by scipy."""
    percent, load = np.array(rope.curve, dtype=float).T
    curve = PchipInterpolator(percent, load)
    return brentq(lambda each: float(curve(each)) - fraction, 0.0, float(percent[-1]), xtol=1e-13) / 100.0


def test_stiffer_ropes_reach_their_working_load_with_less_stretch() -> None:
    stiff: Stay = with_other_ropes(STAY, 1.0)
    arrangement = arrangement_of(stiff)
    assert arrangement.wll_kn == pytest.approx(OWN.wll_kn, nan_ok=True)
    assert arrangement.allowance_pct == pytest.approx(OWN.allowance_pct / 1.25, nan_ok=True)
