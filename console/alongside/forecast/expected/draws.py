"""Members of an ensemble: draws that stand for all that may come, the same ones every time.

Draws are stratified: each member has its own slice of the distribution, so that fifty of them spread as
evenly as fifty can. Member 0 is the middle of everything: what is expected.
"""

from statistics import NormalDist
from typing import Final

import numpy as np

from alongside.readings import Floats

HOLDS_90: Final = NormalDist().inv_cdf(0.95)
"""Standard deviations either side of the middle that hold 90 %."""


def normals(rng: np.random.Generator, members: int) -> Floats:
    """(members,) draws of a standard normal; member 0 is 0."""
    others = members - 1
    slices = (rng.permutation(others) + 0.5) / max(others, 1)
    return np.concatenate(([0.0], [NormalDist().inv_cdf(float(share)) for share in slices]))


def wandering(rng: np.random.Generator, members: int, time: Floats, memory_s: float) -> Floats:
    """(members, m) standard normal at each of (m,) rising instants, that forgets by exp(-t / memory_s) from
    one to the next (Ornstein and Uhlenbeck); member 0 is 0 throughout."""
    drawn = np.empty((members, time.size))
    kept = np.exp(-np.diff(time) / memory_s)
    drawn[:, 0] = normals(rng, members)
    for at, share in enumerate(kept, start=1):
        fresh = normals(rng, members)
        drawn[:, at] = share * drawn[:, at - 1] + np.sqrt(1.0 - share * share) * fresh
    return drawn
