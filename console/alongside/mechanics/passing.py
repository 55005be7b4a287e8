"""The pull of a ship that passes on one that lies moored: two slender bodies in water that is not viscous.

Structure after Wang (1975, "Dynamic effects of ship passage on moored vessels"), constants from memory; held
against peaks that were worked out elsewhere. S1, S2 are the areas of their sections, m2, ' is d/dx, x1 and x2
run ahead from either midships, xi is how far the midships of the ship that passes lies ahead, eta how far her
track lies off the moored one's centreline, h the depth of the water:

    X = rho V^2 / (2 pi) II S1'(x1) S2'(x2) d / r^3 dx1 dx2          d = x2 - x1 + xi
    Y = rho V^2 eta / pi II S1' S2' / r^3 dx1 dx2                     r^2 = d^2 + eta^2
    N = rho V^2 eta / pi II (S1' x1 + S1) S2' / r^3 dx1 dx2

summed over the images of the ship that passes in bed and surface, r^2 = d^2 + eta^2 + 4 n^2 h^2, n = 0, 1,
-1, 2, ... Sections are parabolic: S = B T Cm (1 - 4 x^2 / L^2), Cm 0.98.

Since 1 / r depends on x2 - x1 alone, each double integral is a single one over u = x2 - x1 of a polynomial
in pieces (the overlap of both hulls shifted by u) and the kernel of the distance u + xi.

The forces go with the square of the speed through the water (Remery 1974; Lean and Price 1977). Walls, the
quay, waves, a current, viscous water and hulls that are not slender are left out: take a factor of 2 either
way.

The surface is taken for a lid: the faster she is beside the wave of the depth, sqrt(g h), the more is left
out, and the pull then grows faster than with the square (power 2.32 in model tests of a passing container
ship, Swiegers 2011). So the range ends at a depth Froude number V / sqrt(g h) of 0.6, common practice without
a source of its own: the most that full ships make in shallow water, fast ones 0.7 (PIANC's guide to approach
channels, 1997, from memory).
"""

from dataclasses import dataclass
from itertools import pairwise
from math import ceil, inf, isfinite, pi, sqrt
from typing import Final

import numpy as np

from alongside.readings import Floats
from alongside.units import SEA_WATER, G

MIDSHIP_COEFFICIENT: Final = 0.98
BAND: Final = 2.0
"""The pull may be so many times as large, or so many times as small."""
FROUDE_MOST: Final = 0.6
"""Depth Froude number up to which the pull is worked out; practice, see above."""
POINTS: Final = 6
"""Gauss points in a panel; a panel is no longer than the distance of the two tracks."""
FEWEST_PANELS: Final = 4
IMAGES_REACH: Final = 2.0
"""Images are summed up to this multiple of both lengths; those beyond count as a tail of 1 / n^3."""
AT_ONCE: Final = 256


@dataclass(frozen=True, slots=True)
class Hull:
    """A ship as a slender body: length, breadth, draught, m."""

    length: float
    breadth: float
    draught: float

    @property
    def midship_m2(self) -> float:
        """Return the area of her midship section."""
        return self.breadth * self.draught * MIDSHIP_COEFFICIENT

    def area(self, x: Floats) -> Floats:
        """Return the area of her section x m ahead of midships, m2; 0 beyond her ends."""
        return self.midship_m2 * np.maximum(1.0 - 4.0 * x * x / self.length**2, 0.0)

    def growth(self, x: Floats) -> Floats:
        """Return d area / dx there, m, within her length."""
        return -8.0 * self.midship_m2 * x / self.length**2


@dataclass(frozen=True, slots=True)
class Pull:
    """(n,) each: `along` kN in the direction in which xi grows, `across` kN towards the track, `turning`
    kN m about midships, + turns the end that lies in that direction towards the track."""

    along: Floats
    across: Floats
    turning: Floats


def range_ms(depth_m: float) -> float:
    """Return the speed through the water, m/s, up to which the pull is worked out in water so deep; infinite
    in deep water."""
    return FROUDE_MOST * sqrt(G * depth_m) if isfinite(depth_m) else inf


def passing_pull(
    moored: Hull, passing: Hull, ahead_m: Floats, off_m: float, speed_ms: Floats | float, depth_m: float
) -> Pull:
    """Return the pull on a moored ship of one that passes, kN and kN m (n,).

    `ahead_m` (n,): how far her midships lies beyond that of the moored one, + in the direction of `along`;
    `off_m` > 0: from centreline to centreline; `speed_ms` through the water, (n,) or one for all; its sign
    says nothing; `depth_m` of the water, infinite for deep. As she comes up the pull is towards her; abeam
    it is off the quay. Raise ValueError for a track that touches the moored ship, or water less deep than
    either draught. NaN where `ahead_m` or `speed_ms` is, and where she is faster than `range_ms`.
    """
    if not off_m > 0.5 * (moored.breadth + passing.breadth):
        raise ValueError(f"a track {off_m:g} m off touches her")
    deepest = max(moored.draught, passing.draught)
    if not depth_m > deepest:
        raise ValueError(f"{depth_m:.1f} m of water do not float a draught of {deepest:.1f} m")
    place, weight = _places(moored, passing, off_m)
    by_growth, by_turn = _overlaps(moored, passing, place)
    by_growth, by_turn = by_growth * weight, by_turn * weight
    speed = np.abs(np.broadcast_to(speed_ms, np.shape(ahead_m)))
    pressure = SEA_WATER / 1000.0 * np.where(speed <= range_ms(depth_m), speed, np.nan) ** 2
    near, far = np.empty(np.shape(ahead_m)), np.empty(np.shape(ahead_m))
    turned = np.empty(np.shape(ahead_m))
    reach = moored.length + passing.length
    for first in range(0, len(ahead_m), AT_ONCE):
        rows = slice(first, first + AT_ONCE)
        distance = place + ahead_m[rows, None]
        kernel = inverse_cubes(distance, off_m, depth_m, reach)
        near[rows] = (distance * kernel) @ by_growth
        far[rows], turned[rows] = kernel @ by_growth, kernel @ by_turn
    return Pull(pressure / (2.0 * pi) * near, pressure * off_m / pi * far, pressure * off_m / pi * turned)


def inverse_cubes(distance: Floats, off_m: float, depth_m: float, reach_m: float) -> Floats:
    """Return the sum of 1 / r^3 over the ship that passes and her images, 1/m3, at distances along, m."""
    level = distance * distance + off_m * off_m
    total: Floats = level**-1.5
    if not np.isfinite(depth_m):
        return total
    images = max(FEWEST_PANELS, ceil(IMAGES_REACH * reach_m / (2.0 * depth_m)))
    for n in range(1, images + 1):
        total += 2.0 * (level + (2.0 * n * depth_m) ** 2) ** -1.5
    # Euler and Maclaurin's sum from the middle of the next step on: the integral of the rest.
    after = 2.0 * (images + 0.5) * depth_m
    root = np.sqrt(level + after * after)
    total += 1.0 / (depth_m * root * (root + after))
    return total


def _places(moored: Hull, passing: Hull, off_m: float) -> tuple[Floats, Floats]:
    """Return Gauss points u and weights over all shifts at which the hulls overlap, with a boundary where
    the overlap changes its kind."""
    outer = 0.5 * (moored.length + passing.length)
    inner = 0.5 * abs(moored.length - passing.length)
    corners = [-outer, -inner, inner, outer] if inner > 0.0 else [-outer, 0.0, outer]
    point, share = np.polynomial.legendre.leggauss(POINTS)
    places, weights = [], []
    for low, high in pairwise(corners):
        edges = np.linspace(low, high, max(FEWEST_PANELS, ceil((high - low) / off_m)) + 1)
        middle, half = 0.5 * (edges[1:] + edges[:-1]), 0.5 * np.diff(edges)
        places.append((middle[:, None] + half[:, None] * point).ravel())
        weights.append((half[:, None] * share).ravel())
    return np.concatenate(places), np.concatenate(weights)


def _overlaps(moored: Hull, passing: Hull, shift: Floats) -> tuple[Floats, Floats]:
    """Return I S1' S2' and I (S1' x1 + S1) S2' over x1, with x2 = x1 + shift. They are of third degree at
    most, which two Gauss points give to the last digit."""
    low = np.maximum(-0.5 * moored.length, -0.5 * passing.length - shift)
    high = np.minimum(0.5 * moored.length, 0.5 * passing.length - shift)
    middle, half = 0.5 * (low + high), 0.5 * np.maximum(high - low, 0.0)
    x1 = middle + half * np.array([[-1.0], [1.0]]) / np.sqrt(3.0)
    growth = passing.growth(x1 + shift)
    own = moored.growth(x1)
    return half * (own * growth).sum(axis=0), half * ((own * x1 + moored.area(x1)) * growth).sum(axis=0)
