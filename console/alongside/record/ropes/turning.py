"""Turning points of a load, without its ripple."""

from typing import Final

import numpy as np

from alongside.readings import Floats

RIPPLE: Final = 0.05
"""Of MBL: cycles of a smaller range are not counted, below which a computed load cannot be told from
nothing."""


def turning_points(load: Floats) -> Floats:
    """Return peaks and valleys of loads (n,) in order, first and last among them. NaN is left out: the load
    went straight from the last known to the next. How far apart in time the loads are does not count."""
    known = load[np.isfinite(load)]
    known = known[np.append(True, np.diff(known) != 0.0)] if known.size else known
    if known.size < 3:
        return known
    up = np.diff(known) > 0.0
    turning: Floats = known[np.concatenate([[True], up[1:] != up[:-1], [True]])]
    return turning


def without_ripple(turns: Floats, least: float) -> Floats:
    """Return turning points (n,) without the pairs that make a closed cycle smaller than `least`: rainflow
    counts all other cycles the same, for a closed cycle within a larger one is taken out before it."""
    kept: list[float] = []
    for point in turns.tolist():
        kept.append(point)
        while len(kept) > 3:
            before, low, high, after = kept[-4:]
            size = abs(high - low)
            if size >= least or size > abs(low - before) or size > abs(after - high):
                break
            del kept[-3:-1]
    return np.array(kept)
