"""What the lines do to the bollards ashore."""

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.state import LineStates
from alongside.readings import Floats


def bollard_loads(
    arrangement: Arrangement, lines: LineStates, fast: NDArray[np.bool_] | None = None
) -> Floats:
    """Return the load on each bollard, kN, (n, bollards) in the order of the arrangement: the vector sum of
    the lines on it. `fast`, (lines,) or (n, lines), says which lines are made fast at all: one that is not
    adds nothing, one that is and whose load is not known leaves its bollard not known. None: all are."""
    squared = np.zeros((lines.tension_kn.shape[0], len(arrangement.bollard_ids)))
    for component in (lines.ahead_kn, lines.in_kn, lines.down_kn):
        borne = component if fast is None else np.where(fast, component, 0.0)
        total = np.zeros_like(squared)
        for bollard, line in np.argwhere(arrangement.bears):
            total[:, bollard] += borne[:, line]
        squared += total**2
    return np.sqrt(squared)
