"""Rope curves against scipy's monotone cubic, their inverse, and where they end."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from alongside.mechanics.rope import elongation_pct, load_fraction, rope_curve
from alongside.stay.model import Rope
from tests.mechanics.stays import NYLON, POLYESTER, WIRE

steps = st.lists(st.tuples(st.floats(0.05, 10.0), st.floats(0.001, 0.5)), min_size=1, max_size=10)


def rising(parts: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Rows of a curve from its steps."""
    return [(0.0, 0.0), *map(tuple, np.cumsum(parts, axis=0).tolist())]


@given(steps)
def test_value_and_end_against_scipy(parts: list[tuple[float, float]]) -> None:
    rows = rising(parts)
    elongation, load = np.array(rows).T
    curve, scipy = rope_curve(rows), PchipInterpolator(elongation, load)
    at = np.concatenate([np.linspace(0.0, elongation[-1], 101), elongation])
    steepest = (np.diff(load) / np.diff(elongation)).max()
    assert np.abs(load_fraction(curve, at) - scipy(at)).max() <= 1e-12 * load[-1]
    assert curve.end_slope == pytest.approx(float(scipy(elongation[-1], 1)), abs=1e-11 * steepest)


@given(steps, st.lists(st.floats(0.0, 2.0), min_size=1, max_size=20))
def test_inverse_returns_the_load(parts: list[tuple[float, float]], shares: list[float]) -> None:
    rows = rising(parts)
    curve = rope_curve(rows)
    load = np.array(shares) * rows[-1][1]
    assert load_fraction(curve, elongation_pct(curve, load)) == pytest.approx(load, rel=1e-12, abs=1e-15)


@pytest.mark.parametrize("rope", [POLYESTER, NYLON, WIRE], ids=lambda rope: rope.name)
def test_continues_with_its_last_slope_and_never_pushes(rope: Rope) -> None:
    curve = rope_curve(rope.curve)
    last, end = curve.elongation_pct[-1], curve.slope[-1]
    assert load_fraction(curve, last + 3.0) == pytest.approx(curve.load[-1] + 3.0 * end, rel=1e-14)
    assert (load_fraction(curve, np.array([-5.0, -1e-9, 0.0])) == 0.0).all()


def test_never_falls_between_rows_however_sudden_the_bend() -> None:
    curve = rope_curve([(0, 0), (1, 0.001), (1.1, 0.6), (9, 0.61), (9.5, 1)])
    assert (np.diff(load_fraction(curve, np.linspace(0, 12, 5001))) >= 0.0).all()


@given(steps, st.floats(0.01, 5.0))
def test_continues_with_the_last_chord_or_the_end_of_the_curve(
    parts: list[tuple[float, float]], beyond: float
) -> None:
    """Whichever is the larger slope; a flat last step may end the cubic level, and still the rope carries
    more beyond it."""
    rows = rising(parts)
    elongation, load = np.array(rows).T
    chord = (load[-1] - load[-2]) / (elongation[-1] - elongation[-2])
    slope = max(chord, float(PchipInterpolator(elongation, load)(elongation[-1], 1)))
    found = load_fraction(rope_curve(rows), elongation[-1] + beyond)
    assert found == pytest.approx(load[-1] + slope * beyond, rel=1e-10)


def test_a_cubic_that_ends_level_is_continued_by_its_last_chord() -> None:
    curve = rope_curve([(0, 0), (1, 0.5), (2, 0.55)])
    assert curve.end_slope == 0.0
    assert load_fraction(curve, 3.0) == pytest.approx(0.60)
    assert elongation_pct(curve, 0.55) == pytest.approx(2.0)
    assert elongation_pct(curve, 0.60) == pytest.approx(3.0)


def test_what_is_not_known_or_pushes_has_no_elongation() -> None:
    found = elongation_pct(rope_curve(POLYESTER.curve), np.array([0.2, np.nan, -0.1, 0.0]))
    assert np.array_equal(np.isnan(found), [False, True, True, False])
    assert np.isnan(load_fraction(rope_curve(POLYESTER.curve), np.array([np.nan])))[0]


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ([(0, 0)], "at least two rows"),
        ([(1, 0), (2, 1)], r"begins with \[0, 0\]"),
        ([(0, 0), (2, 0.5), (2, 1)], "rises strictly"),
        ([(0, 0), (2, 0.5), (3, 0.5)], "rises strictly"),
        ([(0, 0), (2, float("nan"))], "rises strictly"),
    ],
)
def test_what_is_no_curve_is_refused(rows: list[tuple[float, float]], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        rope_curve(rows)
