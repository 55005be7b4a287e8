"""What wind is held from where it blows now, instant by instant: one basis of alert, rule line, page and
hand-over.

The least of all directions within 15 deg of the wind counts. What those hold is calculated anew as
`holding_epochs` says, and stands in between: where the wind shifts to other directions, they are calculated
at once, for the same tide, draughts, lengths and current as the others. Where nobody knows from where the
wind blows, the weakest direction of all counts: it may blow from there.

In an hour, each direction is sought through all speeds once, and then near that answer (`holding_around`).
The polar of all directions (`last_polar`) is calculated for the same instants, where somebody asks for it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.cycle.holding_epochs import Rest, differ, fresh_rows
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.holding import DIRECTIONS, NO_WEAK_SPOT, WeakSpot
from alongside.mechanics.holding_around import NOTHING_SOUGHT, Questions, Sought, least_around, sectors
from alongside.mechanics.situation import Situation, joined
from alongside.mechanics.state import Hold
from alongside.mechanics.usage import Criteria
from alongside.readings import Floats

HOUR: Final = 60
"""Minutes after which a direction is sought through all speeds again."""
GUST: Final = 0.87
"""A 3 s gust by so much is a 30 s mean (US Navy, UFC 4-159-03)."""

_CODES: Final = 4 * DIRECTIONS

Whole = NDArray[np.int64]
WeakSpots = NDArray[np.object_]
"""(n,) `WeakSpot`."""


@dataclass(frozen=True, slots=True)
class Answered:
    """What gives first from the weakest of some directions, `first` to `last` of the 72, counted on beyond
    either end."""

    first: int
    last: int
    weak: WeakSpot

    @property
    def key(self) -> tuple[int, int]:
        return self.first, self.last


@dataclass(frozen=True, slots=True)
class Held:
    """What was worked out last: the number of its minute, the 30 s wind held from about where it blows, m/s,
    NaN where not known, what gives first in more, and what that rests on: the situation of then (one row) and
    the lengths of main rope, m (lines,); None in records of old. `answered` is all that was asked of that
    instant, `sought` what was sought through all speeds in this hour."""

    period: int
    holds_ms: float
    weak: WeakSpot = NO_WEAK_SPOT
    situation: Situation | None = None
    lengths: Floats | None = None
    answered: tuple[Answered, ...] = ()
    sought: Sought = NOTHING_SOUGHT

    @property
    def rest(self) -> Rest | None:
        """Return what it rests on; None in records of old."""
        if self.situation is None or self.lengths is None:
            return None
        return Rest(self.period, self.situation, self.lengths)


@dataclass(frozen=True, slots=True)
class HoldingNow:
    """Of n instants: the 30 s wind over what is held from about where it blows (n,), NaN where not known,
    infinite where a limit is past without any wind; the same of the highest gust of ten minutes, as a 30 s
    mean; what gives first (n,); and what was worked out last. All None where no rule asks, or nothing is
    known of the lines."""

    share: Floats | None = None
    weak: WeakSpots | None = None
    last: Held | None = None
    gust_share: Floats | None = None
    holds_ms: Floats | None = None
    """(n,) what is held itself, m/s."""


NOTHING_HELD: Final = HoldingNow()


def holding_now(
    arrangement: Arrangement, criteria: Criteria, situation: Situation, states: Hold, before: Held | None
) -> HoldingNow:
    """Return the wind against what is held at n instants (n >= 1); `before` is what was worked out last
    before them, None at the start."""
    lengths = states.lines.unstretched_m
    rest = None if before is None else before.rest
    fresh = fresh_rows(situation, lengths, arrangement.breadth, rest)
    stands = rest is not None and (not fresh or fresh[0] > 0)
    rests = [Rest.at(situation, lengths, row) for row in fresh]
    if stands and rest is not None:
        rests.insert(0, rest)
    which, questions = _questions(situation.wind_from, fresh, stands)
    spots, sought = _answers(arrangement, criteria, rests, questions, before if stands else None, before)
    holds = np.array([np.nan if each.holds_ms is None else each.holds_ms for each in spots])[which]
    weak = np.array([*spots, None], dtype=np.object_)[:-1][which]
    rest, newest = rests[-1], np.flatnonzero(questions.row == len(rests) - 1).tolist()
    answered = {_key(questions, at): spots[at] for at in newest}
    if len(rests) == 1 and stands and before is not None:
        answered = {each.key: each.weak for each in before.answered} | answered
    last = Held(
        rest.period,
        float(holds[-1]),
        weak[-1],
        rest.situation,
        rest.lengths,
        tuple(Answered(*key, spot) for key, spot in answered.items()),
        sought,
    )
    gust = GUST * situation.wind_gust
    return HoldingNow(_share(situation.wind_speed, holds), weak, last, _share(gust, holds), holds)


def _questions(wind_from: Floats, fresh: list[int], stands: bool) -> tuple[Whole, Questions]:
    """Return the different questions of n instants, and (n,) which of them is that of each."""
    begins = np.zeros(wind_from.size, dtype=np.int64)
    begins[fresh] = 1
    rest = np.cumsum(begins) - (0 if stands else 1)
    first, last = sectors(wind_from)
    # One whole number an instant is found again many times faster than three.
    code = (rest * _CODES + first + DIRECTIONS) * _CODES + last
    _, at, which = np.unique(code, return_index=True, return_inverse=True)
    return which.ravel(), Questions(rest[at], first[at], last[at])


def _key(questions: Questions, at: int) -> tuple[int, int]:
    return int(questions.first[at]), int(questions.last[at])


def _answers(
    arrangement: Arrangement,
    criteria: Criteria,
    rests: list[Rest],
    questions: Questions,
    standing: Held | None,
    before: Held | None,
) -> tuple[list[WeakSpot], Sought]:
    """Return the answer of each question, and what was sought through all speeds by then. The first rest is
    that of `standing`, where there is one. Rests of the same lengths within an hour are asked together."""
    hours = [each.period // HOUR for each in rests]
    sought = NOTHING_SOUGHT
    if before is not None and before.period // HOUR == hours[0]:
        sought = before.sought
    known = {} if standing is None else {each.key: each.weak for each in standing.answered}
    spots = [
        known.get(_key(questions, at), NO_WEAK_SPOT) if not row else NO_WEAK_SPOT
        for at, row in enumerate(questions.row.tolist())
    ]
    for start, stop in _together(rests, hours):
        if start and hours[start] != hours[start - 1]:
            sought = NOTHING_SOUGHT
        among = np.flatnonzero((questions.row >= start) & (questions.row < stop))
        open_ = [at for at in among.tolist() if questions.row[at] or _key(questions, at) not in known]
        if not open_ or np.isnan(rests[start].lengths).all():
            continue  # where no line holds her there is nothing to be judged
        here = joined([each.situation for each in rests[start:stop]])
        asked = Questions(questions.row[open_] - start, questions.first[open_], questions.last[open_])
        found, sought = least_around(arrangement, here, rests[start].lengths, criteria, asked, sought)
        for at, spot in zip(open_, found, strict=True):
            spots[at] = spot
    return spots, sought


def _together(rests: list[Rest], hours: list[int]) -> Iterator[tuple[int, int]]:
    """Yield runs of rests, start and stop, of the same lengths within an hour."""
    start = 0
    for at in range(1, len(rests) + 1):
        if at == len(rests) or hours[at] != hours[start] or differ(rests[at].lengths, rests[start].lengths):
            yield start, at
            start = at


def _share(wind: Floats, holds: Floats) -> Floats:
    """Return a wind over what is held (n,)."""
    share = np.full(holds.size, np.inf)
    np.divide(wind, holds, out=share, where=holds != 0.0)
    share[np.isnan(wind)] = np.nan
    return share
