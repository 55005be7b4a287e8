"""Sag of heavy lines against the elastic catenary, solved here by scipy from its own equations. C1: a
finite-element code's validation manual (read); the rest is our own arithmetic."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq, least_squares

from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.hold import hold
from alongside.mechanics.lines import line_states
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.sag import Chords, hanging
from alongside.stay.model import Stay
from tests.mechanics.stays import POLYESTER, Lead, afloat, inclined, situation, stay_with, straight

WIRE_42 = replace(straight("wire 42 mm", 1110.0, 66_500.0, 0.55), kind="wire", weight_kg_per_m=7.0)
"""EA 66.5 MN: a read table's metal area and modulus (ours); 7 kg/m from memory."""
KN_PER_KG = 9.80665e-3


def chord(level: float, rise: float, weight: float) -> Chords:
    outboard = np.array([[np.hypot(level, rise)]])
    return Chords(outboard, outboard, np.array([[level]]), np.array([[weight]]))


def elastic_catenary(
    level: float, rise: float, unstretched: float, ea: float, weight: float, near: float
) -> float:
    """The tension along the chord, kN, of the exact elastic catenary (H. M. Irvine, Cable Structures, 1981,
    from memory; the level case is C1's): level part H and upper vertical part V by its two equations."""
    whole = weight * unstretched

    def misses(z: np.ndarray) -> list[float]:
        h, v = np.exp(z[0]), z[1]
        along = h * unstretched / ea + h / weight * (np.arcsinh(v / h) - np.arcsinh((v - whole) / h))
        up = whole * unstretched / ea * (v / whole - 0.5)
        up += h / weight * (np.hypot(1.0, v / h) - np.hypot(1.0, (v - whole) / h))
        return [along - level, up - rise]

    c = np.hypot(level, rise)
    h0 = near * level / c
    # Bounded: a free search for the root sometimes left for forces of exp(-700), where nothing is a number.
    start = np.array([np.log(h0), h0 * rise / level + whole / 2])
    within = np.array([2.0, 10.0 * (whole + abs(start[1]))])
    found = least_squares(
        misses,
        start,
        bounds=(start - within, start + within),
        x_scale="jac",
        xtol=1e-15,
        ftol=1e-15,
        gtol=1e-15,
    )
    assert np.abs(found.fun).max() < 1e-8
    return float(np.exp(found.x[0]) * c / level)


def carried(level: float, rise: float, unstretched: float, ea: float, weight: float) -> float:
    """What the program has such a line carry."""

    def by_stretch(path: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        stretch = np.maximum(path / unstretched - 1.0, 0.0)
        return ea * stretch, np.where(stretch > 0.0, ea / unstretched, 0.0)

    _, tension, _ = hanging(by_stretch, chord(level, rise, weight))
    return float(tension[0, 0])


def test_c1_level_elastic_catenary() -> None:
    """Span and unstretched length 325 m, A 2.2783e-4 m2, E 57 GPa, w 6.35689 N/m: sag 6.352 m (read), H 13
    206.24 N (checked by its own formula)."""
    ea, w, l0 = 57e9 * 2.2783e-4, 6.35689, 162.5
    a = brentq(lambda a: a * np.arcsinh(l0 / a) + w * a * l0 / ea - l0, 100.0, 1e5, xtol=1e-10)
    assert w * a == pytest.approx(13_206.24, abs=0.01)
    exact = a * np.sqrt(1 + (l0 / a) ** 2) - a + w * l0**2 / (2 * ea)
    assert exact == pytest.approx(6.352, abs=5e-4)
    # In kN and kN/m, as the program has it.
    tension = carried(325.0, 0.0, 325.0, ea / 1000.0, w / 1000.0)
    assert tension == pytest.approx(13.20624, rel=1.1e-3)
    ours = tension / (w / 1000.0)
    assert ours * (np.cosh(l0 / ours) - 1.0) == pytest.approx(6.352, abs=5e-4)


def test_an_inextensible_line_hangs_in_its_catenary() -> None:
    """S = 2 a sinh(L / 2a): 61 m between ends 60 m apart, 7 kg/m (ours)."""
    w = 7.0 * KN_PER_KG
    a = brentq(lambda a: 2 * a * np.sinh(60.0 / (2 * a)) - 61.0, 20.0, 1e4, xtol=1e-12)
    assert carried(60.0, 0.0, 61.0, 1e9, w) == pytest.approx(w * a, rel=1e-6)


@pytest.mark.parametrize(
    ("span", "tension", "sag", "stiffness"),
    [
        (60.0, 20.0, 1.55, 0.08),
        (60.0, 50.0, 0.62, 0.57),
        (60.0, 100.0, 0.31, 0.91),
        (90.0, 50.0, 0.62 * 2.25, 0.37),
    ],
)
def test_stiffness_is_ernsts_where_the_line_is_fairly_tight(
    span: float, tension: float, sag: float, stiffness: float
) -> None:
    """Ernst 1965: EA / (1 + (w L)^2 EA / (12 T^3)); the 42 mm wire of 60 and 90 m (ours)."""
    w, ea = 7.0 * KN_PER_KG, 66_500.0
    assert w * span**2 / (8 * tension) == pytest.approx(sag, rel=0.01)
    assert 1 / (1 + (w * span) ** 2 * ea / (12 * tension**3)) == pytest.approx(stiffness, abs=0.006)
    more, _ = chord(span, 0.0, w).longer(np.array([[tension]]))
    unstretched = (span + more[0, 0]) / (1 + tension / ea)

    def by_stretch(path: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        stretch = np.maximum(path / unstretched - 1.0, 0.0)
        return ea * stretch, np.where(stretch > 0.0, ea / unstretched, 0.0)

    _, carries, slope = hanging(by_stretch, chord(span, 0.0, w))
    assert carries[0, 0] == pytest.approx(tension, rel=1e-9)
    assert slope[0, 0] * unstretched / ea == pytest.approx(stiffness, abs=0.012)


@given(
    st.floats(8.0, 120.0),
    st.floats(-0.9, 0.9),
    st.floats(0.5, 15.0),
    st.floats(1.0, 400.0),
    st.floats(5e3, 2e5),
)
def test_tension_is_that_of_the_elastic_catenary_but_for_its_strain(
    level: float, slope: float, kg: float, tension: float, ea: float
) -> None:
    """Within 2.4 times its strain, 0.13 % for a wire of 42 mm and more: down to a tension of half the line's
    weight, up to 42 deg of slope, strains up to 1 %."""
    rise, w = slope * level, kg * KN_PER_KG
    assume(tension > 0.5 * w * level and tension < 0.01 * ea)
    more, _ = chord(level, rise, w).longer(np.array([[tension]]))
    unstretched = (np.hypot(level, rise) + more[0, 0]) / (1 + tension / ea)
    ours = carried(level, rise, unstretched, ea, w)
    assert ours == pytest.approx(tension, rel=1e-8)
    exact = elastic_catenary(level, abs(rise), unstretched, ea, w, tension)
    assert ours == pytest.approx(exact, rel=2.4 * tension / ea + 1e-7)


def berth(weight: float) -> Stay:
    rope = replace(WIRE_42, weight_kg_per_m=weight)
    leads = [Lead((x, -9.0, 12.0), (40.0 + x, -50.0, 4.0), rope) for x in (20.0, 100.0)]
    leads += [
        Lead((x, -9.5, 12.0), (40.0 + x + run, -5.0, 4.0), POLYESTER, role="spring")
        for x, run in ((30.0, 40.0), (90.0, -40.0))
    ]
    return stay_with(leads, fenders=(70.0, 130.0))


@pytest.mark.parametrize("tension", [5.0, 20.0, 60.0, 300.0])
def test_made_fast_it_carries_its_tension_and_less_is_added_by_the_tide(tension: float) -> None:
    heavy = arrangement_of(stay_with([inclined(60.0, 8.0, WIRE_42)]))
    light = arrangement_of(stay_with([inclined(60.0, 8.0, replace(WIRE_42, weight_kg_per_m=0.0))]))
    rises = []
    for arrangement in (heavy, light):
        length = unstretched_for(arrangement, afloat(0.0), tension)
        made = line_states(arrangement, afloat(0.0), length).tension_kn[0, 0]
        assert made == pytest.approx(tension, rel=1e-9)
        rises.append(line_states(arrangement, afloat(0.3), length).tension_kn[0, 0] - tension)
    assert 0.0 < rises[0] < rises[1]


def test_a_line_that_hangs_pulls_a_little_and_never_nothing() -> None:
    arrangement = arrangement_of(stay_with([inclined(60.0, 8.0, WIRE_42)]))
    length = unstretched_for(arrangement, afloat(0.0), 30.0)
    tides = np.linspace(0.0, -3.0, 61)
    tension = line_states(arrangement, afloat(tides), length).tension_kn[:, 0]
    assert (np.diff(tension) < 0.0).all()
    assert 1.0 < tension[-1] < 12.0
    assert (np.diff(tension, 2) > -0.5).all(), "smooth, without the corner of a line that goes slack"


def test_the_balance_has_the_same_tension_as_the_line() -> None:
    stay = berth(7.0)
    arrangement, seen = arrangement_of(stay), situation(afloat(0.5))
    length = unstretched_for(arrangement, afloat(0.0), np.array([40.0, 40.0, 60.0, 60.0]))[0]
    held = hold(arrangement, seen, length)
    pull = held.lines.in_kn[0].sum()
    assert held.fenders.reaction_kn[0].sum() == pytest.approx(pull, rel=1e-6)
    alone = hold(arrangement, situation(afloat([0.5, 0.9])), length)
    assert alone.lines.tension_kn[0].tolist() == pytest.approx(held.lines.tension_kn[0].tolist(), rel=1e-9)


def test_without_a_weight_nothing_changes_to_the_last_digit() -> None:
    plain, given = berth(0.0), berth(0.0)
    one = replace(given.lines[0].rope, weight_kg_per_m=5.0)
    mixed = replace(given, lines=(*given.lines[:3], replace(given.lines[3], rope=one)))
    lengths = [unstretched_for(arrangement_of(each), afloat(0.0), 60.0)[0] for each in (plain, mixed)]
    assert lengths[0][:3].tobytes() == lengths[1][:3].tobytes()
    states = [
        line_states(arrangement_of(each), afloat(0.4), length)
        for each, length in zip((plain, mixed), lengths, strict=True)
    ]
    assert states[0].tension_kn[:, :3].tobytes() == states[1].tension_kn[:, :3].tobytes()


def test_a_line_that_is_not_made_fast_has_no_load() -> None:
    stay = berth(7.0)
    arrangement = arrangement_of(stay)
    length = unstretched_for(arrangement, afloat(0.0), 60.0)[0]
    length[0] = np.nan
    held = hold(arrangement, situation(afloat(0.0)), length)
    assert np.isnan(held.lines.tension_kn[0, 0])
    assert np.isfinite(held.lines.tension_kn[0, 1:]).all()
    assert held.reason[0] == 0
