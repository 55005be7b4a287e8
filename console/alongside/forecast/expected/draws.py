"""Members of an ensemble: draws that stand for all that may come, the same ones every time.

Draws are stratified: each member has its own slice of the distribution, so that fifty of them spread as
evenly as fifty can. Member 0 is the middle of everything: what is expected.
"""

from functools import lru_cache
from statistics import NormalDist
from typing import Final

import numpy as np

from alongside.readings import Floats

HOLDS_90: Final = NormalDist().inv_cdf(0.95)
"""Standard deviations either side of the middle that hold 90 %."""


def normals(rng: np.random.Generator, members: int) -> Floats:
    """Return draws of a standard normal (members,); member 0 is 0."""
    return np.concatenate(([0.0], _slices(members - 1)[rng.permutation(members - 1)]))


@lru_cache(maxsize=8)
def _slices(count: int) -> Floats:
    """Return the middles (count,) of as many equally likely slices of a standard normal, rising."""
    shares = (np.arange(count) + 0.5) / max(count, 1)
    return np.array([NormalDist().inv_cdf(float(share)) for share in shares])


def wandering(rng: np.random.Generator, members: int, time: Floats, memory_s: float) -> Floats:
    """Return (members, m) standard normals at (m,) rising instants that forget by exp(-t / memory_s) from one
    to the next (Ornstein and Uhlenbeck); member 0 is 0 throughout."""
    drawn = np.empty((members, time.size))
    kept = np.exp(-np.diff(time) / memory_s)
    drawn[:, 0] = normals(rng, members)
    for at, share in enumerate(kept, start=1):
        fresh = normals(rng, members)
        drawn[:, at] = share * drawn[:, at - 1] + np.sqrt(1.0 - share * share) * fresh
    return drawn
