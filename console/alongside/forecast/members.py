"""Members of the ensemble through the mechanics, each with ropes of its own.

How stiff ropes are and how hard lines were made fast is known worst of all, and it is the same all the time:
each member has one place in the bands of both for the whole look ahead. There are five such places, as likely
as each other, so that members share a few arrangements. Member 0, what is expected, has the stay's own.

Lengths are always those of the stay's own ropes: what the watch slacks or heaves is the same metres whatever
the ropes are.
"""

from collections.abc import Callable, Iterator
from functools import lru_cache
from statistics import NormalDist
from typing import Final, TypeVar

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


WHOLE: Final = 500_000
"""Members times instants times lines up to which all time is one block."""
AT_ONCE: Final = 200_000
"""The same of a block where it is more: some 50 MB with all that comes of it."""
Part = TypeVar("Part")
Outside = tuple[Floats, NDArray[np.bool_]]
"""Metres (m, lines) by which lengths miss their bands as expected, 0 inside and where not known; and whether
they do (members, m, lines)."""


class Members:
    """The states of all members, or of the first so many, with `lengths` of main rope, m, (lines,) or (m,
    lines), worked out in blocks of time so that a far look takes little memory; one block is kept, several
    are worked out anew for each who asks."""

    def __init__(
        self,
        basis: Basis,
        expected: Expected,
        lengths: Floats,
        members: int | None = None,
    ) -> None:
        self.basis, self.expected = basis, expected
        self._lengths, self._members = lengths, members
        m, lines = expected.time.size, lengths.shape[-1]
        count = len(expected.tide[:members])
        step = max(1, AT_ONCE // max(1, count * lines))
        # What automatic winches pay out is what the next instant begins with: that is one block.
        whole = count * m * lines <= WHOLE or basis.arrangement.automatic is not None
        self._blocks = [slice(0, m)] if whole else [slice(at, min(at + step, m)) for at in range(0, m, step)]
        self._kept: Hold | None = None
        self.outside: tuple[object, Outside] | None = None
        """How the lengths miss bands, for what is asked of them: plans are judged by it several times."""

    def through(self, work: Callable[[slice, Expected, Hold], Part]) -> list[Part]:
        """Return what `work` makes of each block: which rows of time it has, what is expected then, and the
        state of the members, end to end."""
        if len(self._blocks) > 1:
            return [work(rows, self.expected.part(rows), self._held(rows)) for rows in self._blocks]
        if self._kept is None:
            self._kept = self._held(self._blocks[0])
        return [work(self._blocks[0], self.expected, self._kept)]

    def as_expected(self) -> Hold:
        """Return the state (m,) of member 0, what is expected."""
        # Copies: a view would keep all members of its block.
        return stacked(self.through(lambda rows, here, held: held.at(np.arange(here.time.size))))

    def _held(self, rows: slice) -> Hold:
        lengths = self._lengths if self._lengths.ndim == 1 else self._lengths[rows]
        return hold_members(self.basis, self.expected.part(rows), lengths, self._members)


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
