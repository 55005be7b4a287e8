"""Members of the ensemble through the mechanics, each with ropes of its own.

How stiff ropes are and how hard lines were made fast is known worst of all, and it is the same all the time:
each member has one place in the bands of both for the whole look ahead. There are five such places, as likely
as each other, so that members share a few arrangements. Member 0, what is expected, has the stay's own.

Lengths are always those of the stay's own ropes: what the watch slacks or heaves is the same metres whatever
the ropes are.
"""

from collections.abc import Iterator
from functools import lru_cache
from statistics import NormalDist
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.basis import Basis
from alongside.forecast.expected.draws import HOLDS_90
from alongside.forecast.expected.ensemble import Expected
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.hold import hold, stacked
from alongside.mechanics.rope_spread import OtherRopes, other_ropes
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Floats

_FIRST, _SECOND = (NormalDist().inv_cdf(share) / HOLDS_90 for share in (0.7, 0.9))
PLACES: Final = (
    (0.0, 0.0),
    (_SECOND, _FIRST),
    (-_SECOND, -_FIRST),
    (_FIRST, -_SECOND),
    (-_FIRST, _SECOND),
)
"""(stiffness, tension of making fast) in parts of their bands, which hold 9 of 10 cases: the middles of five
equally likely slices of each, paired so that neither says anything of the other."""


def hold_members(basis: Basis, expected: Expected, lengths: Floats, members: int | None = None) -> Hold:
    """Return the state of all members, or of the first so many, end to end, each in order of time. `lengths`
    main rope, m, (lines,) or (m, lines)."""
    situation, m = expected.situation(members), expected.time.size
    parts, order = [], []
    for ropes, mine in by_ropes(basis, len(situation) // m):
        rows = (mine[:, None] * m + np.arange(m)).ravel()
        out = ropes.lengths(lengths)
        if ropes.arrangement.automatic is not None:
            parts.append(_with_winches(ropes.arrangement, situation.at(rows), out, m))
            order.append(rows)
            continue
        by_row = out if out.ndim == 1 else np.tile(out, (mine.size, 1))
        parts.append(hold(ropes.arrangement, situation.at(rows), by_row))
        order.append(rows)
    return stacked(parts).at(np.argsort(np.concatenate(order)))


def _with_winches(arrangement: Arrangement, situation: Situation, lengths: Floats, m: int) -> Hold:
    """Return the state of some members, end to end, m instants each, one instant after the other: what
    automatic winches pay out or heave in is what the next begins with. `lengths` (lines,) or (m, lines)."""
    members = len(situation) // m
    planned = np.broadcast_to(lengths, (m, lengths.shape[-1]))
    out = np.tile(planned[0], (members, 1))
    parts, rows = [], []
    for at in range(m):
        rows.append(np.arange(members) * m + at)
        out = out + (planned[at] - planned[max(at - 1, 0)])
        parts.append(hold(arrangement, situation.at(rows[-1]), out))
        out = parts[-1].lines.unstretched_m
    return stacked(parts).at(np.argsort(np.concatenate(rows)))


def by_ropes(basis: Basis, members: int) -> Iterator[tuple[OtherRopes, NDArray[np.intp]]]:
    """Yield each of the ropes with the members (k,) that have them."""
    for place, ropes in enumerate(_ropes(basis)):
        mine = np.arange(place, members, len(PLACES))
        if mine.size:
            yield ropes, mine


@lru_cache(maxsize=4)
def _ropes(basis: Basis) -> tuple[OtherRopes, ...]:
    return tuple(other_ropes(basis.stay, basis.arrangement, *place) for place in PLACES)
