"""Least squares that outliers do not bend, with what was expected beforehand.

Residuals count in full up to `HUBER` standard deviations and by their first power beyond (P. J. Huber,
"Robust estimation of a location parameter", Ann. Math. Statist. 35 (1964) 73-101; 1.345 leaves 95 % of the
efficiency at a normal distribution); those that somebody has read count in full. Each parameter is expected
to be 0 within a standard deviation of its own, and what is far from that counts by its first power alike: a
length may be wrong for other reasons than those that were expected. The minimum is sought by Gauss and
Newton's steps, halved while they do not lead down.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.readings import Floats

HUBER: Final = 1.345
STEPS: Final = 12
HALVINGS: Final = 6
SETTLED: Final = 1e-4
"""A step smaller than this part of the expected deviations is the last."""
OUTLIER: Final = 4.0
"""Standard deviations from which a residual is one."""

Values = Callable[[Floats], Floats]
"""Parameters (p,) to what is expected of each load (n,)."""
Slopes = Callable[[Floats], Floats]
"""Parameters (p,) to how each load changes with each of them (n, p)."""


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """Parameters (p,) with their covariance (p, p), residuals (n,) measured minus expected, and how a load
    changes with each parameter (n, p)."""

    theta: Floats
    covariance: Floats
    residual: Floats
    slope: Floats

    def sd(self, parameter: int) -> float:
        """Return the standard deviation of one parameter."""
        return float(np.sqrt(self.covariance[parameter, parameter]))


@dataclass(frozen=True, slots=True, eq=False)
class Sum:
    """The sum that is least at the fit: `measured` (n,) with standard deviations `sigma`; `in_full` (n,)
    which of them count in full however far off they are; what was expected of parameters, `expected_sd`
    (p,)."""

    measured: Floats
    sigma: Floats
    expected_sd: Floats
    in_full: np.ndarray

    def cost(self, value: Floats, theta: Floats) -> float:
        """Return the sum with what is expected of each load, `value` (n,)."""
        size = np.abs((self.measured - value) / self.sigma)
        bent = np.where(self.in_full, size**2, _bent(size))
        return float(bent.sum() + _bent(np.abs(theta / self.expected_sd)).sum())

    def precision(self, residual: Floats, slope: Floats, theta: Floats) -> Floats:
        """Return the matrix of Gauss and Newton's step, about the inverse of the covariance."""
        scaled = slope * (np.sqrt(self._weight(residual)) / self.sigma)[:, np.newaxis]
        return np.asarray(scaled.T @ scaled + np.diag(self._prior(theta)), dtype=np.float64)

    def step(self, residual: Floats, slope: Floats, theta: Floats) -> Floats:
        """Return that step."""
        pull = slope.T @ (self._weight(residual) * residual / self.sigma**2) - self._prior(theta) * theta
        return np.asarray(np.linalg.solve(self.precision(residual, slope, theta), pull), dtype=np.float64)

    def widened(self, fit: Fit, others: Floats) -> Fit:
        """Return a fit with more parameters (q,) open than were sought, straight about it; by `others` (n, q)
        each load changes with one standard deviation of what is expected of each."""
        more = others.shape[1]
        slope, theta = np.hstack([fit.slope, others]), np.concatenate([fit.theta, np.zeros(more)])
        whole = replace(self, expected_sd=np.concatenate([self.expected_sd, np.ones(more)]))
        step = whole.step(fit.residual, slope, theta)
        covariance = np.linalg.inv(whole.precision(fit.residual, slope, theta)).astype(np.float64)
        return Fit(theta + step, covariance, fit.residual - slope @ step, slope)

    def _weight(self, residual: Floats) -> Floats:
        return np.where(self.in_full, 1.0, weights(residual, self.sigma))

    def _prior(self, theta: Floats) -> Floats:
        return weights(theta, self.expected_sd) / self.expected_sd**2


def fitted(values: Values, slopes: Slopes, of: Sum, start: Floats) -> Fit:
    """Return the fit from parameters `start` (p,). Where p is 0 nothing is sought."""
    theta: Floats = np.array(start, dtype=np.float64)
    value, slope = values(theta), slopes(theta)
    cost = of.cost(value, theta)
    for _ in range(STEPS if theta.size else 0):
        step = of.step(of.measured - value, slope, theta)
        found = _down(values, of, theta, step, cost)
        if found is None:
            break
        value, cost, taken = found
        theta = theta + taken
        slope = slopes(theta)
        if (np.abs(taken) <= SETTLED * of.expected_sd).all():
            break
    residual = of.measured - value
    covariance = np.linalg.inv(of.precision(residual, slope, theta)).astype(np.float64)
    return Fit(theta, covariance, residual, slope)


def _down(
    values: Values, of: Sum, theta: Floats, step: Floats, cost: float
) -> tuple[Floats, float, Floats] | None:
    """Return what is expected after a step, or a part of it, that leads down, the sum there, and the step;
    None where none does."""
    for _ in range(HALVINGS):
        value = values(theta + step)
        now = of.cost(value, theta + step)
        if now <= cost:
            return value, now, step
        step = step / 2.0
    return None


def weights(residual: Floats, sigma: Floats) -> Floats:
    """Return by how much each residual (n,) counts, 1 up to `HUBER` standard deviations."""
    weight: Floats = np.minimum(1.0, HUBER / np.maximum(np.abs(residual / sigma), 1e-300))
    return weight


def _bent(size: Floats) -> Floats:
    return np.asarray(np.where(size <= HUBER, size**2, 2.0 * HUBER * size - HUBER**2), dtype=np.float64)


def robust_sd(residual: Floats) -> float:
    """Return the standard deviation of residuals (n,) about 0, by their median: outliers do not count."""
    return float(1.4826 * np.median(np.abs(residual))) if residual.size else 0.0


def followed(residual: Floats) -> float:
    """Return by how much more the squares of residuals in order of time weigh than of as many independent
    ones: (1 + r) / (1 - r), r the correlation from one to the next; at least 1, at most 10."""
    if residual.size < 4 or not (square := float((residual**2).mean())) > 0.0:
        return 1.0
    one_on = float((residual[1:] * residual[:-1]).mean()) / square
    return float(np.clip((1.0 + one_on) / max(1.0 - one_on, 1e-3), 1.0, 10.0))
