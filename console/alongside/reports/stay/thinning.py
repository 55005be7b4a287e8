"""Series thinned to be drawn: no more points than can be seen, no peak lost, gaps kept."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.readings import Floats
from alongside.record.opening import STANDS_S
from alongside.reports.stay.record_arrays import Singles

BUCKETS: Final = 500
MOST_TURNS: Final = 4
"""Times known and unknown may take turns, per stretch, before the short ones are passed over."""


def thin(time: Floats, values: Singles | Floats, buckets: int = BUCKETS) -> tuple[Floats, Floats]:
    """Return (m,) times and values of a curve to draw.

    Of each of `buckets` equal stretches of time the least and the greatest known value are kept, in their
    order. A NaN breaks the curve wherever nothing is known, however briefly: between states farther apart
    than `STANDS_S`, and at a state without an answer. Short gaps are left out only of a value that comes and
    goes all the time.
    """
    value = np.asarray(values, dtype=np.float64)
    if not time.size:
        return np.zeros(0), np.zeros(0)
    known = np.isfinite(value)
    after_gap = np.flatnonzero(np.diff(time) > STANDS_S) + 1
    rows = np.arange(time.size)
    if time.size > 2 * buckets:
        turns = np.flatnonzero(known[1:] != known[:-1]) + 1
        edges = np.searchsorted(time, np.linspace(time[0], time[-1], buckets + 1)[1:-1])
        cuts = [edges, after_gap] if turns.size > MOST_TURNS * buckets else [edges, after_gap, turns]
        rows = _least_and_most(value, known, np.unique(np.concatenate([[0], *cuts])))
    parted = np.searchsorted(rows, after_gap)
    before = time[rows[parted - 1]]
    return np.insert(time[rows], parted, before), np.insert(value[rows], parted, np.nan)


def _least_and_most(value: Floats, known: NDArray[np.bool_], starts: NDArray[np.intp]) -> NDArray[np.intp]:
    """Rows of the least and the greatest known value of each piece; pieces begin at `starts`."""
    starts = starts[starts < value.size]
    low, high = np.where(known, value, np.inf), np.where(known, value, -np.inf)
    rows: list[int] = []
    for a, b in zip(starts.tolist(), [*starts[1:].tolist(), value.size], strict=True):
        rows += sorted((a + int(low[a:b].argmin()), a + int(high[a:b].argmax())))
    return np.asarray(rows, dtype=np.intp)
