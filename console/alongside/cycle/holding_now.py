"""What wind is held from where it blows now, instant by instant: one basis of alert, rule line, page and
hand-over.

It changes with tide, draughts, lengths and the direction of the wind, all of them slow. It is worked out anew
at every full minute (in one no tide moves by more than 0.05 m), and at once where a length has changed or
where tide, draughts or wind come to be known or are lost; in between it stands. These instants are the same
however a stay is cut into blocks. The polar of all directions (`last_polar`) is worked out for the same
instants, where somebody asks for it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.hold import why_unknown
from alongside.mechanics.holding import NO_WEAK_SPOT, WeakSpot, weakest_from
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.mechanics.usage import Criteria
from alongside.readings import Floats

ANEW_S: Final = 60.0
CHANGED_M: Final = 0.05
"""m of main rope that make a length another one: the least that is slacked or heaved. What a brake lets out
bit by bit counts once it comes to this."""

WeakSpots = NDArray[np.object_]
"""(n,) `WeakSpot`."""


@dataclass(frozen=True, slots=True)
class Held:
    """What was worked out last: the number of its minute, the 30 s wind held from where it blew, m/s, NaN
    where not known, what gives first in more, and what that rests on: the situation of then (one row) and the
    lengths of main rope, m (lines,); None in records of old."""

    period: int
    holds_ms: float
    weak: WeakSpot = NO_WEAK_SPOT
    situation: Situation | None = None
    lengths: Floats | None = None


@dataclass(frozen=True, slots=True)
class HoldingNow:
    """Of n instants: the 30 s wind over what is held from where it blows (n,), NaN where not known, infinite
    where a limit is past without any wind; what gives first (n,); and what was worked out last. All None
    where no rule asks, or nothing is known of the lines."""

    share: Floats | None = None
    weak: WeakSpots | None = None
    last: Held | None = None

    def weakest_with(self, others: Sequence["HoldingNow"]) -> WeakSpots | None:
        """Return what gives first (n,) by the one of several that holds least."""
        if self.share is None or self.weak is None:
            return self.weak
        share, weak = self.share, self.weak
        for other in others:
            if other.share is not None and other.weak is not None:
                less = other.share > share
                share, weak = np.where(less, other.share, share), np.where(less, other.weak, weak)
        return weak


NOTHING_HELD: Final = HoldingNow()


def holding_now(
    arrangement: Arrangement, criteria: Criteria, situation: Situation, states: Hold, before: Held | None
) -> HoldingNow:
    """Return the wind against what is held at n instants (n >= 1); `before` is what was worked out last
    before them, None at the start."""
    count = len(situation)
    lengths = states.lines.unstretched_m
    fresh = _fresh_rows(situation, lengths, before)
    holds = np.full(count, np.nan if before is None else before.holds_ms)
    weak = np.full(count, NO_WEAK_SPOT if before is None else before.weak, dtype=np.object_)
    answers = _worked_out(arrangement, criteria, situation, lengths, fresh)
    for row, (value, spot) in zip(fresh, answers, strict=True):
        holds[row:] = value
        weak[row:] = spot
    share = np.full(count, np.inf)
    np.divide(situation.wind_speed, holds, out=share, where=holds != 0.0)
    share[np.isnan(situation.wind_speed)] = np.nan
    if not fresh:
        assert before is not None, "the first instant of all is fresh"
        return HoldingNow(share, weak, before)
    at = fresh[-1]
    last = Held(
        int(_periods(situation)[at]),
        float(holds[at]),
        weak[at],
        replace(situation.at(np.array([at])), age=None),
        lengths[at].copy(),
    )
    return HoldingNow(share, weak, last)


def _periods(situation: Situation) -> NDArray[np.int64]:
    return np.floor(situation.time / ANEW_S).astype(np.int64)


def _fresh_rows(situation: Situation, lengths: Floats, before: Held | None) -> list[int]:
    """Return the rows at which it is worked out anew, rising; `lengths` (n, lines)."""
    if before is None or before.situation is None or before.lengths is None:
        period, known, last = -1, False, None
    else:
        period, known, last = before.period, bool(_known(before.situation)[0]), before.lengths
    periods, knowns = _periods(situation), _known(situation)
    due = (periods != np.append(period, periods[:-1])) | (knowns != np.append(known, knowns[:-1]))
    changed = np.append(True, _differ(lengths[1:], lengths[:-1], 0.0))
    fresh: list[int] = []
    for row in np.flatnonzero(due | changed).tolist():
        if due[row] or last is None or _differ(lengths[row], last, CHANGED_M):
            fresh.append(row)
            last = lengths[row]
    return fresh


def _known(situation: Situation) -> NDArray[np.bool_]:
    """Return (n,) whether all that it is worked out from is known."""
    known: NDArray[np.bool_] = (why_unknown(situation) == NoAnswer.ANSWERED) & ~np.isnan(situation.wind_from)
    return known


def _differ(lengths: Floats, others: Floats, by_m: float) -> NDArray[np.bool_]:
    """Return whether any of (…, lines) lengths differs by so much and at all, or is known where the other is
    not."""
    apart = np.abs(lengths - others)
    return np.asarray(
        ((apart > 0.0) & (apart >= by_m - 1e-9) | (np.isnan(lengths) != np.isnan(others))).any(axis=-1)
    )


def _worked_out(
    arrangement: Arrangement, criteria: Criteria, situation: Situation, lengths: Floats, rows: list[int]
) -> list[tuple[float, WeakSpot]]:
    """Return what is held and what gives first at some rows; rows of the same lengths are worked out
    together."""
    answers: list[tuple[float, WeakSpot]] = []
    start = 0
    while start < len(rows):
        stop = start + 1
        while stop < len(rows) and not _differ(lengths[rows[stop]], lengths[rows[start]], 0.0):
            stop += 1
        here = situation.at(np.array(rows[start:stop]))
        holds, weak = weakest_from(arrangement, here, lengths[rows[start]], here.wind_from, criteria)
        answers += zip(holds.tolist(), weak, strict=True)
        start = stop
    return answers
