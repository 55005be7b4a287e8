"""Least squares that outliers do not bend, with what was expected beforehand.

Residuals count in full up to `HUBER` standard deviations and by their first power beyond (P. J. Huber,
"Robust estimation of a location parameter", Ann. Math. Statist. 35 (1964) 73-101; 1.345 leaves 95 % of the
efficiency at a normal distribution). Each parameter is expected to be 0 within a standard deviation of its
own. The minimum is sought by Gauss and Newton's steps, halved while they do not lead down.
"""

from collections.abc import Callable
from dataclasses import dataclass
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


def fitted(
    values: Values, slopes: Slopes, measured: Floats, sigma: Floats, expected_sd: Floats, start: Floats
) -> Fit:
    """Return the fit of `measured` (n,) with standard deviations `sigma` (n,), from parameters `start` (p,).
    Where p is 0 nothing is sought."""
    theta: Floats = np.array(start, dtype=np.float64)
    value, slope = values(theta), slopes(theta)
    cost = _cost(measured - value, sigma, theta, expected_sd)
    for _ in range(STEPS if theta.size else 0):
        step = _step(measured - value, sigma, slope, theta, expected_sd)
        found = _down(values, measured, sigma, expected_sd, theta, step, cost)
        if found is None:
            break
        value, cost, taken = found
        theta = theta + taken
        slope = slopes(theta)
        if (np.abs(taken) <= SETTLED * expected_sd).all():
            break
    residual = measured - value
    covariance = np.linalg.inv(_precision(residual, sigma, slope, expected_sd)).astype(np.float64)
    return Fit(theta, covariance, residual, slope)


def _down(
    values: Values,
    measured: Floats,
    sigma: Floats,
    expected_sd: Floats,
    theta: Floats,
    step: Floats,
    cost: float,
) -> tuple[Floats, float, Floats] | None:
    """Return what is expected after a step, or a part of it, that leads down, the cost there, and the step;
    None where none does."""
    for _ in range(HALVINGS):
        value = values(theta + step)
        now = _cost(measured - value, sigma, theta + step, expected_sd)
        if now <= cost:
            return value, now, step
        step = step / 2.0
    return None


def weights(residual: Floats, sigma: Floats) -> Floats:
    """Return by how much each residual (n,) counts, 1 up to `HUBER` standard deviations."""
    weight: Floats = np.minimum(1.0, HUBER / np.maximum(np.abs(residual / sigma), 1e-300))
    return weight


def _precision(residual: Floats, sigma: Floats, slope: Floats, expected_sd: Floats) -> Floats:
    scaled = slope * (np.sqrt(weights(residual, sigma)) / sigma)[:, np.newaxis]
    precision: Floats = scaled.T @ scaled + np.diag(1.0 / expected_sd**2)
    return precision


def _step(residual: Floats, sigma: Floats, slope: Floats, theta: Floats, expected_sd: Floats) -> Floats:
    pull = slope.T @ (weights(residual, sigma) * residual / sigma**2) - theta / expected_sd**2
    step = np.linalg.solve(_precision(residual, sigma, slope, expected_sd), pull)
    return step.astype(np.float64)


def _cost(residual: Floats, sigma: Floats, theta: Floats, expected_sd: Floats) -> float:
    size = np.abs(residual / sigma)
    bent = np.where(size <= HUBER, size**2, 2.0 * HUBER * size - HUBER**2)
    return float(bent.sum() + ((theta / expected_sd) ** 2).sum())


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
