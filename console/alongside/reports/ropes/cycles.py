"""Cycles of load by rainflow counting (ASTM E1049-85, 5.4.4)."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

import numpy as np
import rainflow

from alongside.readings import Floats
from alongside.record.ropes.turning import RIPPLE

EDGES: Final = (RIPPLE, 0.10, 0.20, 0.30, 0.40, 0.50)
"""Ranges of load, as shares of MBL, from which the classes of cycles count; the last has no end."""


def cycles(load: Sequence[float] | Floats) -> list[tuple[float, float]]:
    """Return (range, count) of every range that occurs, rising; half cycles count 0.5."""
    # The library asks for three points; the first one given twice adds no turning point.
    counted = rainflow.count_cycles([*load[:1], *load])
    return [(float(size), float(count)) for size, count in counted if size > 0.0]


def cycles_by_class(load: Sequence[float], mbl_kn: float) -> tuple[float, ...]:
    """Return the cycles in each class of `EDGES`."""
    counts = np.zeros(len(EDGES))
    for size, count in cycles(load):
        at = int(np.searchsorted(EDGES, size / mbl_kn, side="right")) - 1
        if at >= 0:
            counts[at] += count
    return tuple(counts.tolist())


def class_names() -> tuple[str, ...]:
    """Return `5-10`, …, `50+`: each class in percent of MBL."""
    percent = [round(100.0 * edge) for edge in EDGES]
    return (*(f"{low}-{high}" for low, high in pairwise(percent)), f"{percent[-1]}+")
