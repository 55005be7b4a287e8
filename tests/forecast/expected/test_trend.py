"""Robust slopes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from alongside.forecast.expected.trend import MOST_POINTS, efficiency, sound_slope, theil_sen

HOURS = np.arange(6.0)
DRAUGHTS = np.array([8.00, 8.12, 8.19, 8.33, 9.99, 8.52])


def test_theil_sen_of_a_discharge_with_one_wild_value():
    # ours on Theil 1950, Sen 1968; scipy agrees
    found = theil_sen(HOURS, DRAUGHTS)
    assert found.slope == pytest.approx(0.110, abs=1e-9)
    assert found.intercept == pytest.approx(8.000, abs=1e-9)


@pytest.mark.parametrize("x0", [0.0, 1e4])
def test_a_sound_series_has_the_slope_of_least_squares(x0):
    rng = np.random.default_rng(7)
    x = x0 + np.arange(90.0)
    for y in (0.3 * x, 8.0 + 0.0 * x, 0.3 * x + rng.normal(0.0, 1.0, 90), np.where(x < x0 + 45.0, 0.0, x)):
        assert sound_slope(x, y) == pytest.approx(np.polyfit(x - x0, y, 1)[0], abs=1e-9)


def test_without_the_few_that_lie_far_off_it_is_that_of_the_others():
    x = np.arange(60.0)
    y = 0.3 * x + np.random.default_rng(3).normal(0.0, 0.1, 60)
    wild = y.copy()
    wild[[7, 30, 59]] += (9.0, -40.0, 25.0)
    near = np.isclose(wild, y)
    assert sound_slope(x, wild) == pytest.approx(np.polyfit(x[near], y[near], 1)[0], abs=1e-12)


@pytest.mark.parametrize("confidence", [0.5, 0.9, 0.95])
@pytest.mark.parametrize("seed", range(8))
def test_theil_sen_against_scipy(seed, confidence):
    rng = np.random.default_rng(seed)
    x = np.sort(rng.integers(0, 40, 30).astype(float))  # ties in x
    y = np.round(0.3 * x + rng.standard_t(2, 30), 1)  # and in y
    ours, theirs = theil_sen(x, y, confidence), theilslopes(y, x, confidence, method="joint")
    np.testing.assert_allclose([ours.slope, ours.intercept, ours.low, ours.high], list(theirs), rtol=1e-12)


def test_what_is_not_known_is_left_out():
    found = theil_sen([0.0, 1.0, np.nan, 3.0], [1.0, np.nan, 5.0, 7.0])
    assert found.slope == 2.0
    assert np.isnan(theil_sen([1.0, 1.0], [2.0, 3.0]).slope)
    assert np.isnan(theil_sen([], []).slope)


def test_long_series_are_thinned():
    x = np.arange(50.0 * MOST_POINTS)
    assert theil_sen(x, 2.0 * x + 1.0).slope == pytest.approx(2.0)


@given(st.floats(-5.0, 5.0), st.floats(-5.0, 5.0), st.integers(7, 40), st.integers(0, 1000))
def test_a_quarter_of_wild_values_leaves_the_slope(slope, intercept, n, seed):
    rng = np.random.default_rng(seed)
    x = np.arange(float(n))
    y = slope * x + intercept
    wild = rng.choice(n, n // 4, replace=False)
    y[wild] += rng.uniform(-100.0, 100.0, wild.size)
    assert theil_sen(x, y).slope == pytest.approx(slope, abs=1e-9)


def test_a_late_gang_shows():
    # ours: planned 9.00 -> 7.80 m over 6 h, worked at six tenths of it, one reading wild
    planned = 9.00 - 0.20 * np.arange(0.0, 6.1, 0.5)
    measured = 9.00 + 0.6 * (planned - 9.00)
    measured[4] += 1.0
    found = efficiency(planned, measured)
    assert found.slope == pytest.approx(0.60, abs=1e-9)
    assert found.low <= found.slope <= found.high


def test_a_plan_at_rest_says_nothing_of_the_gang():
    assert np.isnan(efficiency(np.full(10, 8.0), np.linspace(8.0, 7.5, 10)).slope)


def test_efficiency_is_bounded():
    planned = np.linspace(9.0, 8.0, 10)
    assert efficiency(planned, 9.0 - 5.0 * (9.0 - planned)).slope == 2.0
    assert efficiency(planned, 18.0 - planned).slope == 0.0
