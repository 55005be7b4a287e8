"""What moves a figure: the tide or the draught, named only where it explains the way the figure goes."""

from dataclasses import dataclass
from math import isfinite
from typing import Final

STEADY_SHARE_PER_H: Final = 0.01
"""A stretch share that changes by less in an hour is steady."""
STEADY_M_PER_H: Final = 0.03
"""The same for tide and draught."""


@dataclass(frozen=True, slots=True)
class Motion:
    """What lifts and lowers the ship, m/h: tide (+ rising), draught (+ deeper); NaN where not known."""

    tide: float
    draught: float

    @property
    def rise(self) -> float:
        """How fast the ship rises; what is not known counts as still, NaN where neither is known."""
        known = [rate for rate in (self.tide, -self.draught) if isfinite(rate)]
        return sum(known) if known else float("nan")

    def by(self, up: bool) -> str:
        """Return what lifts the ship (or lowers her): ` with the tide`, ` as draught decreases`; "" where
        nothing does."""
        way = 1.0 if up else -1.0
        tide = self.tide * way if isfinite(self.tide) else 0.0
        draught = -self.draught * way if isfinite(self.draught) else 0.0
        if max(tide, draught) < STEADY_M_PER_H:
            return ""
        if tide >= draught:
            return " with the tide" if up else " as tide falls"
        return " as draught decreases" if up else " as draught increases"


def stretch_motion(trend_per_h: float, leads_down: bool, motion: Motion) -> str:
    """Return `, rising with the tide` of a line's stretch or load, from its trend; "" where none is known.

    A line that leads down from its fairlead is stretched as the ship rises, one that leads up as she sinks.
    """
    if not isfinite(trend_per_h):
        return ""
    if abs(trend_per_h) < STEADY_SHARE_PER_H:
        return ", steady"
    rising = trend_per_h > 0.0
    return f", {'rising' if rising else 'easing'}{motion.by(up=rising == leads_down)}"


def steepness_motion(leads_down: bool, motion: Motion) -> str:
    """Return `, steeper with the tide`; the lead follows the ship's height alone."""
    if not isfinite(motion.rise) or abs(motion.rise) < STEADY_M_PER_H:
        return ""
    up = motion.rise > 0.0
    return f", {'steeper' if up == leads_down else 'easing'}{motion.by(up=up)}"


def clearance_motion(motion: Motion) -> str:
    """Return `, falling as draught increases` of the water under the keel."""
    if not isfinite(motion.rise) or abs(motion.rise) < STEADY_M_PER_H:
        return ""
    up = motion.rise > 0.0
    return f", {'growing' if up else 'falling'}{motion.by(up=up)}"
