"""How far one length of a line serves: from each sample to the first at which no single length does.

A set of lengths that is made at sample t serves until, for some line, the highest of the lower ends from t
on has passed the lowest of the upper ends. Bands are (m, n): samples by lines, metres.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.readings import Floats

Indices = NDArray[np.intp]

TOLERANCE: Final = 1e-9
"""m by which ends of bands may cross and still be one: rounding of sums, nothing a rope would notice."""


@dataclass(frozen=True, slots=True, eq=False)
class Runs:
    """Highest lower end and lowest upper end over runs of 1, 2, 4, … samples from each sample on: lists of
    (m - run + 1, n)."""

    lowest: tuple[Floats, ...]
    highest: tuple[Floats, ...]

    @property
    def samples(self) -> int:
        return len(self.lowest[0])


def runs_of(lo: Floats, hi: Floats) -> Runs:
    """Prepare bands (m, n), m at least 1."""
    lowest, highest, run = [lo], [hi], 1
    while 2 * run <= len(lo):
        lowest.append(np.maximum(lowest[-1][:-run], lowest[-1][run:]))
        highest.append(np.minimum(highest[-1][:-run], highest[-1][run:]))
        run *= 2
    return Runs(tuple(lowest), tuple(highest))


def reach_of(runs: Runs, margin: float = 0.0) -> Indices:
    """Return for each sample (m,) the first later one that lengths made there cannot serve any more with
    `margin` metres clear at either end; m where they serve to the end, and the sample itself where even it
    cannot be served."""
    m = runs.samples
    at = np.arange(m)
    low = np.full(runs.lowest[0].shape, -np.inf)
    high = np.full(runs.highest[0].shape, np.inf)
    for level in reversed(range(len(runs.lowest))):
        run = 1 << level
        inside = np.flatnonzero(at + run <= m)
        longer_low = np.maximum(low[inside], runs.lowest[level][at[inside]])
        longer_high = np.minimum(high[inside], runs.highest[level][at[inside]])
        serves = (longer_low + margin <= longer_high - margin + TOLERANCE).all(axis=1)
        kept = inside[serves]
        low[kept], high[kept] = longer_low[serves], longer_high[serves]
        at[kept] += run
    return at


def first_failure(lo: Floats, hi: Floats, lengths: Floats, margin: float = 0.0) -> int:
    """Return the first sample at which lengths (n,) do not serve; m where they serve to the end."""
    serves = ((lo + margin <= lengths + TOLERANCE) & (lengths <= hi - margin + TOLERANCE)).all(axis=1)
    return int(np.argmin(serves)) if not serves.all() else len(lo)


def common_band(lo: Floats, hi: Floats, begin: int, end: int) -> tuple[Floats, Floats]:
    """Return (low, high), (n,) each, that serves all samples begin..end-1; everything where there is none."""
    if end <= begin:
        return np.full(lo.shape[1], -np.inf), np.full(lo.shape[1], np.inf)
    return lo[begin:end].max(axis=0), hi[begin:end].min(axis=0)
