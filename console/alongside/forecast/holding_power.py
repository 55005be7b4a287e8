"""What wind the set will hold in the hours ahead, and what gives first."""

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import Expected
from alongside.forecast.model import LimitAhead
from alongside.mechanics.holding import WeakSpot
from alongside.mechanics.holding_around import weakest_around
from alongside.readings import Floats

EVERY_S: Final = 1800.0


@dataclass(frozen=True, slots=True, eq=False)
class HoldsAhead:
    """`share` (members, m) is the wind by what is held from about where it is to blow; `holds` (m,)
    is what is held as expected, m/s, the least within 15 deg of the wind; `weak` is what gives first at the
    instants `time`, about half an hour apart."""

    share: Floats
    holds: Floats
    time: Floats
    weak: tuple[WeakSpot, ...]

    def named(self, limit: LimitAhead) -> LimitAhead:
        """Return the limit with what gives first about when it is reached, where it is one of holding."""
        if limit.cause != "holding":
            return limit
        when = limit.not_before if limit.expected is None else limit.expected
        return replace(limit, weak=self.weak[int(np.abs(self.time - when).argmin())])


def holds_ahead(basis: Basis, expected: Expected, lengths: Floats) -> HoldsAhead | None:
    """Return what wind is held with `lengths` of main rope (lines,) or (m, lines); None where no rule asks.
    It is worked out every half hour for what is expected, and as soon as a length has changed; it stands
    in between for all members."""
    if not any(rule.cause == "holding" for rule in basis.rules):
        return None
    every = np.broadcast_to(lengths, (expected.time.size, lengths.shape[-1]))
    changed = np.flatnonzero((every[1:] != every[:-1]) & ~np.isnan(every[1:]))
    begins = np.unique(np.append(0, changed // every.shape[1] + 1))
    here = expected.situation(1)
    holds = np.empty(expected.time.size)
    weak: list[WeakSpot] = []
    times: list[float] = []
    for begin, end in pairwise([*begins.tolist(), expected.time.size]):
        rows = _half_hours(expected.time[begin:end]) + begin
        some = here.at(rows)
        found, spots = weakest_around(basis.arrangement, some, every[begin], basis.criteria)
        holds[begin:end] = np.interp(expected.time[begin:end], expected.time[rows], found)
        weak += spots
        times += expected.time[rows].tolist()
    share = np.full(expected.tide.shape, np.inf)
    np.divide(expected.wind_speed, holds, out=share, where=holds != 0.0)
    return HoldsAhead(share, holds, np.array(times), tuple(weak))


def _half_hours(time: Floats) -> NDArray[np.intp]:
    """Return rows about half an hour apart, the first and the last among them."""
    step = max(1, int(EVERY_S / np.diff(time).min())) if time.size > 1 else 1
    return np.unique(np.append(np.arange(0, time.size, step), time.size - 1))
