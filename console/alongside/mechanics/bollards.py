"""What the lines do to that which holds them: the bollards ashore and the winch brakes on board."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.state import LineStates
from alongside.readings import Floats


@dataclass(frozen=True, slots=True, eq=False)
class BollardStates:
    """(n, bollards) in the order of the arrangement: load in kN, the vector sum of the lines on it, and its
    share of the SWL, NaN where that is not known."""

    load_kn: Floats
    share: Floats


def bollard_states(
    arrangement: Arrangement, lines: LineStates, fast: NDArray[np.bool_] | None = None
) -> BollardStates:
    """Return the loads on the bollards. `fast`, (lines,) or (n, lines), says which lines are made fast at
    all: one that is not adds nothing, while one that is and whose load is not known leaves its bollard not
    known. None: all are."""
    n, bollards = lines.tension_kn.shape[0], len(arrangement.bollard_ids)
    squared = np.zeros((n, bollards))
    for component in (lines.ahead_kn, lines.in_kn, lines.down_kn):
        borne = component if fast is None else np.where(fast, component, 0.0)
        total = np.zeros((n, bollards))
        for line, bollard in enumerate(arrangement.bollard_of):
            total[:, bollard] += borne[:, line]
        squared += total**2
    load = np.sqrt(squared)
    return BollardStates(load, load / arrangement.bollard_swl_kn)


def brake_share(arrangement: Arrangement, lines: LineStates) -> Floats:
    """Return (n, lines) the tension by the holding of the winch brake as set; NaN where no holding is
    known."""
    return lines.tension_kn / arrangement.brake_kn
