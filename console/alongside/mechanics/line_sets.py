"""What several sets of lines hold at one instant, all at once: the lines of one arrangement, of which each
set has some, each with its own lengths. Sets and directions are rows of one search."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.holding_search import Bracket, Winds, first_limits
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import tensions_of_sets
from alongside.mechanics.usage import Criteria, Usage, usage_of
from alongside.readings import Floats

Whole = NDArray[np.intp]

ROWS_AT_ONCE: Final = 1024
"""Sets times directions in one search: more than fits the processor's cache is no faster."""


@dataclass(frozen=True, slots=True, eq=False)
class LineSets:
    """s sets of the lines of an arrangement at one instant (`here` has one row); `lengths` (s, lines) main
    rope, m, NaN for a line that is not in a set."""

    arrangement: Arrangement
    here: Situation
    lengths: Floats
    criteria: Criteria

    def __len__(self) -> int:
        return len(self.lengths)

    def holds(self, sets: Whole, come_from: Floats) -> tuple[Floats, Whole, Whole]:
        """Return (k, d) the 30 s wind at 10 m, m/s, that each of k sets holds from d true directions, the cap
        where nothing gives; and by index what gives first, of `LIMITS`, and its line or bollard, as of
        `Usage`."""
        shape = sets.size, come_from.size
        held, limit, where = np.empty(shape), np.empty(shape, np.intp), np.empty(shape, np.intp)
        for part in _parts(sets.size, max(ROWS_AT_ONCE // max(come_from.size, 1), 1)):
            bracket = self._search(sets[part], come_from)
            size = sets[part].size, come_from.size
            for whole, each in ((held, bracket.low), (limit, bracket.limit), (where, bracket.where)):
                whole[part] = each.reshape(size)
        return held, limit, where

    def _search(self, sets: Whole, come_from: Floats) -> Bracket:
        rows = np.repeat(np.arange(sets.size), come_from.size)
        instants = replace(self.here.at(np.zeros(rows.size, dtype=np.intp)), age=None)
        tensions = tensions_of_sets(self.arrangement, self.lengths[sets]).rows(rows)
        directions = np.tile(come_from, sets.size)
        return first_limits(Winds(self.arrangement, instants, tensions, self.criteria, directions))

    def usage(self) -> Usage:
        """Return how far each set is used in the wind and current of the instant."""
        instants = self.here.at(np.zeros(len(self), dtype=np.intp))
        loads, _ = loads_of(self.arrangement.exposure, instants, self.criteria.gust_factor)
        tensions = tensions_of_sets(self.arrangement, self.lengths).rows(np.arange(len(self)))
        return usage_of(self.arrangement, instants, tensions, loads, self.criteria)


def _parts(count: int, at_once: int) -> Iterator[slice]:
    return (slice(first, first + at_once) for first in range(0, count, at_once))
