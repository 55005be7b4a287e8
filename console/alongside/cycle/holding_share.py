"""How much of what the set can hold the wind takes now, instant by instant.

What is held changes with tide, draughts, lengths and the direction of the wind, all of them slow; it is
worked out anew every five minutes, at the same instants however a stay is cut into blocks, and stands in
between.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.holding import NO_WEAK_SPOT, WeakSpot, weakest_from
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.mechanics.usage import Criteria
from alongside.readings import Floats

ANEW_S: Final = 300.0

WeakSpots = NDArray[np.object_]
"""(n,) `WeakSpot`."""


@dataclass(frozen=True, slots=True)
class Held:
    """What was worked out last: the number of its five minutes, the 30 s wind held from where it blew, m/s,
    NaN where not known, and what gives first in more."""

    period: int
    holds_ms: float
    weak: WeakSpot = NO_WEAK_SPOT


def holding_share(
    arrangement: Arrangement, criteria: Criteria, situation: Situation, states: Hold, before: Held | None
) -> tuple[Floats, WeakSpots, Held]:
    """(n,) 30 s wind over what is held from where it blows, NaN where not known, infinite where a limit is
    past without any wind; (n,) what gives first; and what was worked out last. `before` comes from the
    instants before, None at the start."""
    period = np.floor(situation.time / ANEW_S).astype(np.int64)
    earlier = np.concatenate([[-1 if before is None else before.period], period[:-1]])
    fresh = np.flatnonzero(period != earlier)
    holds = np.full(len(situation), np.nan if before is None else before.holds_ms)
    weak = np.full(len(situation), NO_WEAK_SPOT if before is None else before.weak, dtype=np.object_)
    edges = [*fresh.tolist(), len(situation)]
    found = _held_at(arrangement, criteria, situation, states, fresh)
    for (value, spot), start, stop in zip(found, edges[:-1], edges[1:], strict=True):
        holds[start:stop] = value
        weak[start:stop] = spot
    share = np.full(len(situation), np.inf)
    np.divide(situation.wind_speed, holds, out=share, where=holds != 0.0)
    share[np.isnan(situation.wind_speed)] = np.nan
    return share, weak, Held(int(period[-1]), float(holds[-1]), weak[-1])


def _held_at(
    arrangement: Arrangement, criteria: Criteria, situation: Situation, states: Hold, rows: np.ndarray
) -> list[tuple[float, WeakSpot]]:
    """What is held and what gives first at some rows; rows of the same lengths are worked out together."""
    found: list[tuple[float, WeakSpot]] = []
    start = 0
    lengths = states.lines.unstretched_m[rows]
    while start < rows.size:
        same = (lengths[start:] == lengths[start]) | np.isnan(lengths[start:]) & np.isnan(lengths[start])
        differs = np.flatnonzero(~same.all(axis=1))
        stop = start + int(differs[0]) if differs.size else rows.size
        here = situation.at(rows[start:stop])
        holds, weak = weakest_from(arrangement, here, lengths[start], here.wind_from, criteria)
        found += zip(holds.tolist(), weak, strict=True)
        start = stop
    return found
