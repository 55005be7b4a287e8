"""Turning points of a load."""

import numpy as np

from alongside.readings import Floats


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
