"""Series made fit to draw: no more points than can be seen, no peak lost, gaps kept."""

from typing import Final

import numpy as np

from console.archive import STANDS_S
from console.readings import Floats
from console.report.gathered import Singles

BUCKETS: Final = 500


def thinned(time: Floats, values: Singles | Floats, buckets: int = BUCKETS) -> tuple[Floats, Floats]:
    """(m,) times and values of a line to draw, m about 2 x `buckets` at most.

    Of each of `buckets` equal stretches of time the least and the greatest known value, in their order. A
    NaN parts the line where nothing is known: where two states lie farther apart than `STANDS_S` and than two
    stretches, and where all states of a stretch are unknown.
    """
    value = np.asarray(values, dtype=np.float64)
    if not time.size:
        return np.zeros(0), np.zeros(0)
    if time.size > 2 * buckets:
        time, value = _least_and_most(time, value, buckets)
    parted = np.flatnonzero(np.diff(time) > max(STANDS_S, (time[-1] - time[0]) * 2.0 / buckets)) + 1
    return np.insert(time, parted, time[parted - 1]), np.insert(value, parted, np.nan)


def _least_and_most(time: Floats, value: Floats, buckets: int) -> tuple[Floats, Floats]:
    edges = np.linspace(time[0], time[-1], buckets + 1)[1:-1]
    starts = np.unique(np.concatenate([[0], np.searchsorted(time, edges)]))
    starts = starts[starts < time.size]
    known = np.isfinite(value)
    low, high = np.where(known, value, np.inf), np.where(known, value, -np.inf)
    rows = []
    for a, b in zip(starts.tolist(), [*starts[1:].tolist(), time.size], strict=True):
        rows += sorted((a + int(low[a:b].argmin()), a + int(high[a:b].argmax())))
    return time[rows], value[rows]
