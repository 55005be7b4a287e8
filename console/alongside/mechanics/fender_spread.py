"""Fenders stiffer or softer than the stay file has them, and how much longer the lines' paths then were while
they were made fast."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.geometry import leads_of
from alongside.mechanics.settled_lengths import make_fast
from alongside.mechanics.situation import Situation, unknown_situation
from alongside.readings import Floats
from alongside.stay.making_fast import MakingFast, makings_fast
from alongside.stay.model import Fender, Stay

HALF_LADEN = 0.5
"""Of the depth to deck: a draught for paths where the file states none. Differences of paths hardly depend on
it."""


def any_guessed(fenders: Sequence[Fender]) -> bool:
    """Return whether the stiffness of any fender is a guess."""
    return any(fender.stiffness_band for fender in fenders)


def with_stiffness(fender: Fender, factor: float) -> Fender:
    """Return a fender so many times as stiff."""
    if factor == 1.0:
        return fender
    if fender.stiffness_kn_per_m is not None:
        return replace(fender, stiffness_kn_per_m=fender.stiffness_kn_per_m * factor)
    return replace(fender, table=tuple((deflection, kn * factor) for deflection, kn in fender.table))


def path_on_other_fenders(stay: Stay, own: Arrangement, other: Arrangement) -> Floats:
    """Return how much longer (lines,) m each line's path was while it was made fast, had the ship lain on the
    fenders of `other` instead of her own; 0 where she did not lie on them."""
    longer = np.zeros(len(stay.lines))
    for making in makings_fast(stay):
        if making.lies == "on_fenders":
            lines = list(making.lines)
            paths = [_paths(stay, arrangement, making) for arrangement in (own, other)]
            longer[lines] = np.nan_to_num(paths[1] - paths[0])[lines]
    return longer


def _paths(stay: Stay, arrangement: Arrangement, making: MakingFast) -> Floats:
    """Return the paths (lines,) m at one making fast, m."""
    nothing = np.full(len(stay.lines), np.nan)
    settled = make_fast(stay, arrangement, making, _afloat(stay, making.at), nothing, making.lines)
    path: Floats = leads_of(arrangement, settled.pose).path[:, 0]
    return path


def _afloat(stay: Stay, at: float) -> Situation:
    """Return where she floats where the stay file does not say."""
    draught = np.array([stay.ship.depth * HALF_LADEN])
    nothing = np.zeros(1)
    return replace(
        unknown_situation(np.array([at])),
        tide=nothing,
        draught_fwd=draught,
        draught_aft=draught,
        heel_deg=nothing,
    )
