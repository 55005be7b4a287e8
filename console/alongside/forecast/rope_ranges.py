"""Between what loads a line's is likely to lie, for what is not known of its rope and of making it fast.

Two more states beside the one of the stay file: all ropes at the stiff end of their bands and all lines made
fast at the hard end of theirs, and all at the other ends. What a line carries is likely to lie between the
least and the greatest of the three; both at their ends at once is less likely than 1 in 10.
"""

from dataclasses import dataclass, fields
from functools import lru_cache

import numpy as np

from alongside.forecast.basis import Basis
from alongside.mechanics.hold import hold
from alongside.mechanics.rope_spread import OtherRopes, other_ropes
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import LineStates, Pose
from alongside.readings import Floats


@dataclass(frozen=True, slots=True, eq=False)
class RopeRanges:
    """(n, lines) each, NaN where the load is not known: the least and the greatest load, kN, and share of the
    stretch allowance."""

    tension_low_kn: Floats
    tension_high_kn: Floats
    stretch_low: Floats
    stretch_high: Floats

    def of_line(self, row: int, line: int) -> dict[str, float]:
        """Return the figures of one line at one instant by their names."""
        return {each.name: float(getattr(self, each.name)[row, line]) for each in fields(self)}


def rope_ranges(
    basis: Basis, situation: Situation, lines: LineStates, near: Pose | None = None
) -> RopeRanges:
    """Return the ranges at n instants in order of time; `lines` is the state there as computed, and `near`
    where she lies in it, from which the balance with other ropes is sought; None where that is not known."""
    states = [
        lines,
        *(
            hold(ends.arrangement, situation, ends.lengths(lines.unstretched_m), near=near).lines
            for ends in _ends(basis)
        ),
    ]
    tension = np.array([each.tension_kn for each in states])
    stretch = np.array([each.stretch_share for each in states])
    return RopeRanges(tension.min(axis=0), tension.max(axis=0), stretch.min(axis=0), stretch.max(axis=0))


def unknown_ranges(lines: LineStates) -> RopeRanges:
    """Return ranges of which nothing is known."""
    nothing = np.full_like(lines.tension_kn, np.nan)
    return RopeRanges(nothing, nothing, nothing, nothing)


@lru_cache(maxsize=4)
def _ends(basis: Basis) -> tuple[OtherRopes, OtherRopes]:
    own = basis.arrangement
    return other_ropes(basis.stay, own, -1.0, -1.0), other_ropes(basis.stay, own, 1.0, 1.0)
