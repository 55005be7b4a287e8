"""Bights: two lines of the table that are parts of one rope, which slides round where it turns.

Both parts have one tension, that of a rope as long as both. It is the tension of either part if both had the
mean of their paths and the mean of their lengths, as they are of one rope: so these enter as means. Each
part still pulls in its own direction. Friction where the rope turns is left out.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from alongside.readings import Floats
from alongside.stay.model import Line

Partners = NDArray[np.intp]
"""(lines,) the index of the other part of the same rope; of a line by itself its own."""


def partners_of(lines: Sequence[Line]) -> Partners | None:
    """Return the partners; None where there is no bight."""
    if not any(line.bight_with for line in lines):
        return None
    index = {line.id: at for at, line in enumerate(lines)}
    partner = np.arange(len(lines))
    for at, line in enumerate(lines):
        if line.bight_with:
            other = index[line.bight_with]
            partner[at], partner[other] = other, at
    return partner


def shared(partners: Partners | None, by_line: Floats) -> Floats:
    """Return values (lines, n) or (lines,) with the mean of both parts for those of a bight."""
    if partners is None:
        return by_line
    mean: Floats = (by_line + by_line[partners]) / 2.0
    return mean


def least_of_both(partners: Partners | None, by_line: Floats) -> Floats:
    """Return (lines,) the lesser of both parts' values, NaN where neither is known."""
    return by_line if partners is None else np.fmin(by_line, by_line[partners])


def change_to(partners: Partners | None, wanted: Floats, lengths: Floats, index: int) -> float:
    """Return the metres by which one line's length changes for its rope to be as long as wanted: `wanted` and
    `lengths` (lines,) m. At a bight all of it is paid out or hove in at this part."""
    change = float(wanted[index] - lengths[index])
    if partners is None or partners[index] == index:
        return change
    other = partners[index]
    return change + float(wanted[other] - lengths[other])
