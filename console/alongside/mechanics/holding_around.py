"""The least that is held from any of some neighbouring directions, at many instants at once.

A watch needs the directions about the wind, not the whole polar. A direction that is asked for the first time
is sought as the polar seeks it. At later instants the one that was the weakest then is sought near that
answer, and the others are only tried in the wind that it holds: one that holds that too is not the least.
Where it does not, it is sought as well. So the least is that of the polar within `WITHIN_MS`.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.hold import why_unknown
from alongside.mechanics.holding import DIRECTIONS, NO_WEAK_SPOT, WeakSpot, directions, name_of
from alongside.mechanics.holding_search import BELOW, CAP_MS, Bracket, Winds, about_limits, limits_near
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import Tensions, tensions_of
from alongside.mechanics.usage import LIMITS, Criteria
from alongside.readings import Codes, Floats

WITHIN_DEG: Final = 15.0
"""A wind gusts from so far to either side of where it blows from; common practice, no source."""
_STEP_DEG: Final = 360.0 / DIRECTIONS
_A_HAIR: Final = 1e-9

Flags = NDArray[np.bool_]
Whole = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Sought:
    """What k directions held when they were sought through all speeds: (k,) their numbers among the 72; (k,)
    m/s; (3, k) where she lay in that wind, surge, sway m, yaw rad."""

    at: Codes
    holds_ms: Floats
    place: Floats


NOTHING_SOUGHT: Final = Sought(np.empty(0, dtype=np.int8), np.empty(0), np.empty((3, 0)))


@dataclass(frozen=True, slots=True, eq=False)
class Questions:
    """(q,) each: the row of the instant that is asked about, and the first and the last of its directions,
    numbers among the 72, counted on beyond either end."""

    row: Whole
    first: Whole
    last: Whole

    def asked(self) -> Flags:
        """Return (q, 72) the directions of each."""
        away = (np.arange(DIRECTIONS) - self.first[:, None]) % DIRECTIONS
        asked: Flags = away <= (self.last - self.first)[:, None]
        return asked


def sectors(wind_from: Floats) -> tuple[Whole, Whole]:
    """Return the first and the last (n,) of the 72 directions within 15 deg of each wind, counted on beyond
    the last; where the direction is not known, all."""
    unknown = np.isnan(wind_from)
    middle = np.where(unknown, 0.0, wind_from) % 360.0
    first = np.ceil((middle - WITHIN_DEG) / _STEP_DEG - _A_HAIR).astype(np.intp)
    last = np.floor((middle + WITHIN_DEG) / _STEP_DEG + _A_HAIR).astype(np.intp)
    first[unknown], last[unknown] = 0, DIRECTIONS - 1
    return first, last


def weakest_around(
    arrangement: Arrangement, situation: Situation, unstretched: Floats, criteria: Criteria
) -> tuple[Floats, tuple[WeakSpot, ...]]:
    """Return the 30 s wind (n,) at 10 m, m/s, that is held from the worst direction within 15 deg of the wind
    of each of n situations, NaN where there is no answer, and what gives first there; with the same lengths
    of main rope (lines,). A wind that blows from nobody knows where may come from the worst of all; where
    nothing is known of the wind there is no answer."""
    rows = np.flatnonzero(~np.isnan(situation.wind_from) | ~np.isnan(situation.wind_speed))
    holds, spots = np.full(len(situation), np.nan), [NO_WEAK_SPOT] * len(situation)
    if rows.size:
        some = situation.at(rows)
        first, last = sectors(some.wind_from)
        questions = Questions(np.arange(rows.size), first, last)
        found, _ = least_around(arrangement, some, unstretched, criteria, questions, NOTHING_SOUGHT)
        for row, spot in zip(rows.tolist(), found, strict=True):
            spots[row], holds[row] = spot, np.nan if spot.holds_ms is None else spot.holds_ms
    return holds, tuple(spots)


def least_around(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    criteria: Criteria,
    questions: Questions,
    before: Sought,
) -> tuple[list[WeakSpot], Sought]:
    """Return what gives first from the weakest of the directions of each question, with how much is held from
    where, at m instants with the same lengths of main rope (lines,); and what has been sought through all
    speeds by then, `before` among it. No answer depends on what else is asked, but on what was sought
    before."""
    known = (why_unknown(situation) == NoAnswer.ANSWERED) & bool(arrangement.fender_x.size)
    known &= arrangement.exposure.wind is not None
    search = _Search(
        Instants(arrangement, situation, tensions_of(arrangement, unstretched), criteria), before
    )
    asked = questions.asked() & known[questions.row, None]
    search.seek_new(questions.row, asked)
    search.seek_leading(questions.row, asked)
    search.seek_weaker(questions.row, asked)
    return search.weakest(questions.row, asked), search.sought()


@dataclass(frozen=True, slots=True, eq=False)
class Instants:
    """Instants at which winds from any direction are tried."""

    arrangement: Arrangement
    situation: Situation
    tensions: Tensions
    criteria: Criteria

    def winds(self, rows: Whole, come_from: Whole) -> Winds:
        """Return winds from directions, numbers among the 72, each at an instant of its own."""
        here = replace(self.situation.at(rows), age=None)
        return Winds(self.arrangement, here, self.tensions, self.criteria, directions()[come_from])


class _Search:
    """What is found so far for each instant and direction, NaN where it was not sought."""

    def __init__(self, instants: Instants, before: Sought) -> None:
        shape = len(instants.situation), DIRECTIONS
        self._instants = instants
        self._holds = np.full(shape, np.nan)
        self._limit, self._where = np.full((2, *shape), -1)
        self._begin, self._place = np.full(DIRECTIONS, np.nan), np.zeros((3, DIRECTIONS))
        self._begin[before.at], self._place[:, before.at] = before.holds_ms, before.place

    def sought(self) -> Sought:
        """Return what was sought through all speeds."""
        at = np.flatnonzero(~np.isnan(self._begin))
        return Sought(at.astype(np.int8), self._begin[at], self._place[:, at])

    def seek_new(self, row: Whole, asked: Flags) -> None:
        """Seek each direction through all speeds at the first instant at which it is asked for, unless it was
        before."""
        never = len(self._holds)
        first = np.where(asked, row[:, None], never).min(axis=0, initial=never)
        new = np.flatnonzero((first < never) & np.isnan(self._begin))
        if new.size:
            self._begin[new], self._place[:, new] = about_limits(self._instants.winds(first[new], new))

    def seek_leading(self, row: Whole, asked: Flags) -> None:
        """Seek the direction of each question that held least when it was sought through all speeds."""
        some = asked.any(axis=1)
        self._near(row[some], np.where(asked[some], self._begin, np.inf).argmin(axis=1))

    def seek_weaker(self, row: Whole, asked: Flags) -> None:
        """Try every other direction of each question in the wind that the least of it holds so far; seek
        those that do not hold that."""
        least = np.fmin.reduce(np.where(asked, self._holds[row], np.nan), axis=1, initial=np.inf)
        most = np.full(self._holds.shape, -np.inf)
        for at, speed in zip(row.tolist(), np.where(asked, least[:, None], -np.inf), strict=True):
            np.maximum(most[at], speed, out=most[at])
        rows, come_from = np.nonzero(np.isnan(self._holds) & (most > 0.0))
        if not rows.size:
            return
        winds = self._instants.winds(rows, come_from)
        speeds = most[rows, come_from][:, None] * (*BELOW, 1.0)
        part = (speeds / np.maximum(self._begin[come_from, None], 1.0)) ** 2
        place = self._place[:, come_from, None] * np.minimum(part, 1.0)
        tried = winds.usage(np.arange(rows.size), speeds, place, alike=True)
        gone = (tried.share > 1.0).reshape(speeds.shape).any(axis=1)
        self._near(rows[gone], come_from[gone])

    def weakest(self, row: Whole, asked: Flags) -> list[WeakSpot]:
        """Return what gives first from the weakest direction of each question."""
        holds = np.where(asked, self._holds[row], np.nan)
        spots: list[WeakSpot] = []
        for at, come_from in zip(row.tolist(), _least(holds).tolist(), strict=True):
            if come_from < 0:
                spots.append(NO_WEAK_SPOT)
                continue
            low = float(self._holds[at, come_from])
            gives = LIMITS[int(self._limit[at, come_from])] if low < CAP_MS else None
            where = None
            if gives is not None:
                where = name_of(self._instants.arrangement, gives, int(self._where[at, come_from]))
            spots.append(WeakSpot(gives, where, low, come_from * 360.0 / DIRECTIONS))
        return spots

    def _near(self, rows: Whole, come_from: Whole) -> None:
        """Seek pairs of instant and direction, as far as they were not, near what was held before."""
        pairs = np.unique(rows * DIRECTIONS + come_from)
        pairs = pairs[np.isnan(self._holds.ravel()[pairs])]
        if not pairs.size:
            return
        rows, come_from = np.divmod(pairs, DIRECTIONS)
        winds = self._instants.winds(rows, come_from)
        bracket = limits_near(winds, self._begin[come_from], self._place[:, come_from])
        self._enter(rows, come_from, bracket)

    def _enter(self, rows: Whole, come_from: Whole, bracket: Bracket) -> None:
        self._holds[rows, come_from] = bracket.low
        self._limit[rows, come_from], self._where[rows, come_from] = bracket.limit, bracket.where


def _least(holds: Floats) -> Whole:
    """Return the column of the least of each row (q, 72); -1 where none is known."""
    known = ~np.isnan(holds)
    return np.where(known.any(axis=1), np.where(known, holds, np.inf).argmin(axis=1), -1)
