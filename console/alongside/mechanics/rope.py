"""The curve of a rope: load against elongation, joined by a monotone cubic.

The cubic is the one of F. N. Fritsch and J. Butland, "A method for constructing local monotone piecewise
cubic interpolants", SIAM J. Sci. Stat. Comput. 5 (1984) 300-304, with three-point slopes at both ends, as
`scipy.interpolate.PchipInterpolator` has it. Below zero a rope carries nothing. Beyond the last row the
curve is straight, with the slope of the last chord or of the cubic's end, whichever is larger: a last step
flatter than the one before lets the cubic end level, but no rope stretches on without more load.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from alongside.mechanics.roots import increasing_root
from alongside.readings import Floats


@dataclass(frozen=True, slots=True, eq=False)
class RopeCurve:
    """Knots (k,): elongation in per cent, load as a fraction of MBL, and the slope of the load per per cent
    to the right of each, so that the last is that of the straight line beyond, above 0. `end_slope` is that
    of the last cubic where it ends, at least 0."""

    elongation_pct: Floats
    load: Floats
    slope: Floats
    end_slope: float


def rope_curve(rows: Sequence[tuple[float, float]]) -> RopeCurve:
    """Return the curve through rows of (elongation %, load as a fraction of MBL).

    Raise ValueError unless the first row is (0, 0) and both columns rise strictly, in at least two rows.
    """
    table = np.array(rows, dtype=np.float64)
    if table.ndim != 2 or table.shape[1] != 2 or len(table) < 2:
        raise ValueError("a rope curve needs at least two rows of [elongation %, load fraction]")
    elongation, load = table.T.copy()
    if elongation[0] != 0.0 or load[0] != 0.0:
        raise ValueError(f"a rope curve begins with [0, 0], not [{elongation[0]:g}, {load[0]:g}]")
    if not (np.isfinite(table).all() and (np.diff(elongation) > 0).all() and (np.diff(load) > 0).all()):
        raise ValueError("a rope curve rises strictly in both columns")
    slope = _slopes(elongation, load)
    end_slope = float(slope[-1])
    last_chord = (load[-1] - load[-2]) / (elongation[-1] - elongation[-2])
    slope[-1] = max(last_chord, end_slope)
    return RopeCurve(elongation, load, slope, end_slope)


def _slopes(x: Floats, y: Floats) -> Floats:
    """Return the slope at each knot (k,) of rising data: inside, the weighted harmonic mean of both
    neighbours' secants."""
    width = np.diff(x)
    secant = np.diff(y) / width
    if secant.size == 1:
        return np.repeat(secant, 2)
    before, after = width[:-1], width[1:]
    weight_before, weight_after = 2.0 * after + before, after + 2.0 * before
    mean = (weight_before / secant[:-1] + weight_after / secant[1:]) / (weight_before + weight_after)
    first = _end_slope(width[0], width[1], secant[0], secant[1])
    last = _end_slope(width[-1], width[-2], secant[-1], secant[-2])
    return np.concatenate(([first], 1.0 / mean, [last]))


def _end_slope(width: float, next_width: float, secant: float, next_secant: float) -> float:
    """Return the three-point slope at an end of rising data, at least 0."""
    slope = ((2.0 * width + next_width) * secant - width * next_secant) / (width + next_width)
    return max(float(slope), 0.0)


def cell_cubics(curve: RopeCurve) -> tuple[Floats, Floats]:
    """Return (c2, c3), each (k,): from knot i on, load = load_i + slope_i u + c2_i u^2 + c3_i u^3 with u the
    elongation beyond the knot; both 0 at the last knot, for the curve is straight from there."""
    width = np.diff(curve.elongation_pct)
    secant = np.diff(curve.load) / width
    left, right = curve.slope[:-1], np.append(curve.slope[1:-1], curve.end_slope)
    second = (3.0 * secant - 2.0 * left - right) / width
    third = (left + right - 2.0 * secant) / width**2
    return np.append(second, 0.0), np.append(third, 0.0)


def load_fraction(curve: RopeCurve, elongation_pct: ArrayLike) -> Floats:
    """Return the load as a fraction of MBL at an elongation in per cent; any shape. 0 where slack, NaN where
    NaN."""
    taut = np.maximum(np.asarray(elongation_pct, dtype=np.float64), 0.0)
    cell = _cell(curve.elongation_pct, taut)
    second, third = cell_cubics(curve)
    u = taut - curve.elongation_pct[cell]
    c1, c2, c3 = curve.slope[cell], second[cell], third[cell]
    return curve.load[cell] + u * (c1 + u * (c2 + u * c3))


def elongation_pct(curve: RopeCurve, load: ArrayLike) -> Floats:
    """Return the elongation in per cent at which the rope carries `load` (fraction of MBL); any shape. NaN
    for a load below zero."""
    load = np.asarray(load, dtype=np.float64)
    wanted: Floats = np.where(load >= 0.0, load, np.nan)
    cell = _cell(curve.load, wanted)
    second, third = cell_cubics(curve)
    c1, c2, c3, rest = curve.slope[cell], second[cell], third[cell], wanted - curve.load[cell]
    last = cell == curve.load.size - 1
    width = np.append(np.diff(curve.elongation_pct), 0.0)[cell]
    rise = np.append(np.diff(curve.load), 1.0)[cell]

    def beyond_knot(u: Floats) -> tuple[Floats, Floats]:
        return u * (c1 + u * (c2 + u * c3)) - rest, c1 + u * (2.0 * c2 + u * (3.0 * c3))

    inside = increasing_root(beyond_knot, np.zeros_like(width), width, width * rest / rise)
    elongation: Floats = curve.elongation_pct[cell] + np.where(last, rest / curve.slope[-1], inside)
    return elongation


def _cell(knots: Floats, x: Floats) -> NDArray[np.intp]:
    """Return the index of the last knot at or below x, never below 0; 0 for NaN."""
    cell: NDArray[np.intp] = np.searchsorted(knots, np.nan_to_num(x), side="right") - 1
    return np.asarray(np.maximum(cell, 0))
