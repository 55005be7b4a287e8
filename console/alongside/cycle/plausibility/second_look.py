"""Whether a reading lies so far from what stands that it is looked at again before it is taken."""

from math import hypot, isfinite
from typing import Final

from alongside.cycle.plausibility.by_hand import LEVELS, sigma_of
from alongside.cycle.plausibility.sigmas import GAUGE, SIGMAS

LEAST: Final = dict.fromkeys(LEVELS, 0.3) | {"heel": 1.0}
"""Nearer than this nothing is a slip of the finger, m and deg; wind may change as fast as it is read. Common
practice, no source."""


def is_far(channel: str, off: float, way: str, waves_m: float, stands_sigma: float) -> bool:
    """Return whether a reading is off what stands by more than `SIGMAS` of both, and not a little. Where one
    sigma of what stands is not known (NaN) it is that of a gauge."""
    if channel not in LEAST:
        return False
    of_what_stands = stands_sigma if isfinite(stands_sigma) else GAUGE[channel]
    return abs(off) > max(LEAST[channel], SIGMAS * hypot(sigma_of(channel, way, waves_m), of_what_stands))
