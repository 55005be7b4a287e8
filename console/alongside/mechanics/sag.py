"""Sag of a heavy line: how much longer than its chord the part outboard is.

A line of weight w kN/m whose ends stand h apart level and v in height hangs in a catenary. With the tension T
along the chord c (its level part T h/c is the same all along) and u = w c / (2 T), the arc is

    S = sqrt(v^2 + (h sinh(u) / u)^2),    longer than the chord by E(T) = S - c.

So the line is one whose path is P + E(T), and stretches by what is beyond its unstretched length: it pulls
at any path, the less the more it hangs. The weight is that of the unstretched rope; against the elastic
catenary, which has the weight of the stretched one and its uneven tension, T is right within 2.3 times the
strain.

Lines without a weight given are straight, and cost nothing here.
"""

from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.roots import increasing_root
from alongside.readings import Floats

DEEPEST: Final = 20.0
"""u beyond which a line is a heap rather than a line: T is taken to be w c / 40 at least."""
SMALL: Final = 1e-4
"""u below which the derivative of sinh(u) / u is u / 3 to the last digits."""
FARTHEST_M: Final = 1e5
"""m by which a line that is not made fast is longer than its path, and more."""
DOUBLINGS: Final = 24


class Straight(Protocol):
    """Tension kN and stiffness kN/m of lines (lines, n) at straight paths (lines, n) m."""

    def __call__(self, path: Floats) -> tuple[Floats, Floats]: ...


@dataclass(frozen=True, slots=True, eq=False)
class Weights:
    """(lines,) kN per unstretched metre of main rope and of tail, 0 where it is not given; `tail_length`
    m."""

    main: Floats
    tail: Floats
    tail_length: Floats

    @property
    def any(self) -> bool:
        return bool((self.main + self.tail).any())

    def along(self, outboard: Floats) -> Floats:
        """Return the mean weight, kN/m (lines, n), of the parts outboard: the tail at the bollard's end."""
        tail = np.minimum(self.tail_length[:, None], outboard)
        length = np.maximum(outboard, 1e-9)
        mean: Floats = (self.main[:, None] * (outboard - tail) + self.tail[:, None] * tail) / length
        return mean


@dataclass(frozen=True, slots=True, eq=False)
class Chords:
    """(lines, n) where lines with a weight hang: `path` and `outboard` m along the chord, `level` its level
    part, `weight` kN/m."""

    path: Floats
    outboard: Floats
    level: Floats
    weight: Floats

    def longer(self, tension: Floats) -> tuple[Floats, Floats]:
        """Return E and its derivative by the tension, m and m/kN, 0 for a line without weight."""
        half = self.weight * self.outboard / 2.0
        load = np.maximum(tension, np.maximum(half / DEEPEST, 1e-300))
        u = half / load
        sinh, cosh = np.sinh(u), np.cosh(u)
        safe = np.where(u > SMALL, u, 1.0)
        ratio = np.where(u > SMALL, sinh / safe, 1.0 + u * u / 6.0)
        slope = np.where(u > SMALL, (u * cosh - sinh) / (safe * safe), u / 3.0)
        squared = self.level * self.level
        arc = np.sqrt(self.outboard * self.outboard + squared * (ratio * ratio - 1.0))
        chord = np.maximum(self.outboard, 1e-9)
        more = squared * (ratio * ratio - 1.0) / (arc + chord)
        by_load = -squared * ratio * slope / np.maximum(arc, 1e-9) * u / load
        return more, by_load


def hanging(straight: Straight, chords: Chords) -> tuple[Floats, Floats, Floats]:
    """Return the paths P + E(T) (lines, n) m at which lines that would carry `straight` carry what they do as
    they hang, their tension and their stiffness by P; as if straight for those without weight. NaN where the
    path is, 0 for a line that is not made fast.

    With x the path sought, (x - P - E(f(x))) f(x)^2 rises with x: the root is bracketed from P up.
    """
    path = chords.path

    def missing(x: Floats) -> tuple[Floats, Floats]:
        tension, slope = straight(x)
        load = np.maximum(tension, chords.weight * chords.outboard / (2.0 * DEEPEST))
        more, by_load = chords.longer(load)
        beyond = x - path - more
        value = beyond * load * load
        by_x = load * load + (2.0 * beyond * load - by_load * load * load) * slope
        return value, by_x

    heavy = chords.weight > 0.0
    high = np.where(heavy, path + 1e-3, path)
    for _ in range(DOUBLINGS):
        short = heavy & (missing(high)[0] < 0.0)
        if not short.any():
            break
        high = np.where(short, path + 2.0 * (high - path), high)
    fast = heavy & (high - path < FARTHEST_M)
    high = np.where(fast, high, path)
    x = np.where(heavy, increasing_root(missing, path, high, high), path)
    tension, slope = straight(x)
    _, by_load = chords.longer(tension)
    stiffness = np.where(fast, slope / (1.0 - slope * by_load), slope)
    return x, tension, stiffness


@dataclass(frozen=True, slots=True, eq=False)
class HangingTensions:
    """Tensions of lines of which some sag: `straight` without sag; `inboard` (lines, 1) m; `rise_squared`
    (lines, n) m2, height of the bollard from the fairlead squared."""

    straight: "RowsOf"
    weights: Weights
    inboard: Floats
    rise_squared: Floats

    def __call__(self, path: Floats) -> tuple[Floats, Floats]:
        outboard = path - self.inboard
        level = np.sqrt(np.maximum(outboard * outboard - self.rise_squared, 0.0))
        _, tension, stiffness = hanging(
            self.straight, Chords(path, outboard, level, self.weights.along(outboard))
        )
        return tension, stiffness

    def rows(self, rows: NDArray[np.intp]) -> "HangingTensions":
        return HangingTensions(
            self.straight.rows(rows), self.weights, self.inboard, self.rise_squared[:, rows]
        )


class RowsOf(Straight, Protocol):
    def rows(self, rows: NDArray[np.intp]) -> "RowsOf":
        """Return the same for some of the instants only."""
        ...
