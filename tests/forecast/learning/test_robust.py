"""The robust fit against SciPy's minimizer of the very same sum, and what Huber's weights are for."""

import numpy as np
import pytest
from scipy.optimize import minimize

from alongside.forecast.learning.robust import HUBER, Sum, fitted, followed, robust_sd


def a_line(n: int = 40, outliers: int = 0) -> tuple[np.ndarray, np.ndarray]:
    random = np.random.default_rng(3)
    x = np.linspace(0.0, 4.0, n)
    y = 1.5 * np.expm1(0.4 * x) + 2.0 + random.normal(0.0, 0.2, n)
    y[:outliers] += 30.0
    return x, y


def model(x: np.ndarray):
    def values(theta):
        return theta[0] * np.expm1(0.4 * x) + theta[1]

    def slopes(theta):
        return np.stack([np.expm1(0.4 * x), np.ones_like(x)], axis=1)

    return values, slopes


def a_sum(y: np.ndarray, sigma: np.ndarray, expected: np.ndarray) -> Sum:
    return Sum(y, sigma, expected, np.zeros(y.size, dtype=bool))


def test_the_fit_is_the_minimum_that_scipy_finds() -> None:
    x, y = a_line(outliers=4)
    sigma, expected = np.full(x.size, 0.2), np.array([2.0, 5.0])
    values, slopes = model(x)

    def cost(theta):
        size = np.abs((y - values(theta)) / sigma)
        bent = np.where(size <= HUBER, size**2, 2.0 * HUBER * size - HUBER**2)
        return bent.sum() + ((theta / expected) ** 2).sum()

    best = minimize(cost, np.array([1.0, 1.0]), method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-12})
    fit = fitted(values, slopes, a_sum(y, sigma, expected), np.zeros(2))
    assert fit.theta == pytest.approx(best.x, abs=2e-4)


def test_four_outliers_of_150_deviations_bend_nothing_by_more_than_three_deviations() -> None:
    x, clean = a_line()
    _, bad = a_line(outliers=4)
    sigma, expected = np.full(x.size, 0.2), np.array([20.0, 50.0])
    fits = [fitted(*model(x), a_sum(y, sigma, expected), np.zeros(2)) for y in (clean, bad)]
    assert np.abs(fits[1].theta - fits[0].theta) == pytest.approx(0.0, abs=3.0 * fits[0].sd(1))


def test_without_a_figure_to_seek_there_is_nothing_but_residuals() -> None:
    x, y = a_line()
    nothing = np.zeros((x.size, 0))
    of = a_sum(y, np.ones(x.size), np.zeros(0))
    fit = fitted(lambda _: np.zeros(x.size), lambda _: nothing, of, np.zeros(0))
    assert fit.theta.size == 0
    assert np.array_equal(fit.residual, y)


def test_noise_is_found_whatever_outliers_there_are() -> None:
    residual = np.random.default_rng(1).normal(0.0, 2.0, 400)
    residual[:40] = 100.0
    assert robust_sd(residual) == pytest.approx(2.0, rel=0.25)


def test_readings_that_follow_each_other_weigh_less() -> None:
    """(1 + r) / (1 - r) of a first-order series with r = 0.6: 4."""
    random = np.random.default_rng(2)
    series = np.zeros(20000)
    for at in range(1, series.size):
        series[at] = 0.6 * series[at - 1] + random.normal()
    assert followed(series) == pytest.approx(4.0, rel=0.1)
    assert followed(random.normal(size=20000)) == pytest.approx(1.0, abs=0.05)


def test_one_reading_that_counts_in_full_outweighs_what_was_expected_of_a_figure() -> None:
    """Ten deviations from what was expected, measured within one: nine tenths and more of the way."""
    of = Sum(np.array([10.0]), np.ones(1), np.ones(1), np.ones(1, dtype=bool))
    fit = fitted(lambda theta: theta, lambda _: np.ones((1, 1)), of, np.zeros(1))
    assert fit.theta[0] == pytest.approx(10.0 - HUBER, abs=0.05)
