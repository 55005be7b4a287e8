"""One line made fast, or set to a load, with the others as they are."""

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.bights import change_to
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.pose import in_place
from alongside.mechanics.settled_lengths import settled_in_balance
from alongside.mechanics.situation import Situation
from alongside.readings import Floats


def length_made_fast(
    arrangement: Arrangement, here: Situation, unstretched: Floats, column: int, tension_kn: float
) -> float:
    """Return the main rope, m, with which one line carries a load, kN, in the balance of one instant with the
    others, `unstretched` (lines,) m; NaN where no length does, or no balance is found."""
    if not arrangement.balanced:
        return length_set_to(arrangement, here, unstretched, column, tension_kn)
    set_now = np.arange(len(unstretched)) == column
    if arrangement.partners is not None:
        set_now |= np.arange(len(unstretched)) == arrangement.partners[column]
    others = np.where(set_now, np.nan, unstretched)
    load = np.where(set_now, tension_kn, np.nan)
    made = settled_in_balance(arrangement, here, others, load)
    return _this_part(arrangement, made.unstretched, unstretched, column) if made.settles else float("nan")


def length_set_to(
    arrangement: Arrangement, here: Situation, unstretched: Floats, column: int, tension_kn: float
) -> float:
    """Return the main rope, m, with which one line carries a load, kN, where she lies with the lengths of
    before; NaN where no length does, or where she lies is not known."""
    pose = hold(arrangement, here, unstretched).pose if arrangement.balanced else in_place(here)
    tension = np.full(len(unstretched), tension_kn)
    return _this_part(arrangement, unstretched_for(arrangement, pose, tension)[0], unstretched, column)


def _this_part(arrangement: Arrangement, wanted: Floats, lengths: Floats, column: int) -> float:
    """Return the main rope of one line for its rope to be as long as wanted: at a bight the other part keeps
    what it has."""
    own = np.where(np.arange(len(lengths)) == column, 0.0, lengths)
    return change_to(arrangement.partners, wanted, own, column)
