"""Holding power: what wind from each direction a set of lines holds, and what gives first.

For 72 true directions, the 30 s mean wind at 10 m at which the first limit goes (`usage`), at one tide,
draught and heel, with the current of the situation or none. Speeds are tried at even steps up to the cap, all
directions at once; the first step at which a limit has gone is then divided until the speed is known within
`WITHIN_MS`. What is told holds; a hair more does not. A limit that goes and comes back within one step is not
seen.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.hold import why_unknown
from alongside.mechanics.reasons import REASONS, NoAnswer
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import Tensions, tensions_of
from alongside.mechanics.usage import LIMITS, Criteria, Gives, Usage, usage_of
from alongside.readings import Floats

DIRECTIONS: Final = 72
CAP_MS: Final = 60.0
STEP_MS: Final = 4.0
PARTS: Final = 5
WITHIN_MS: Final = 0.01


@dataclass(frozen=True, slots=True, eq=False)
class Holding:
    """By direction, each (72,): where the true wind comes from, deg; the 30 s mean at 10 m that is held, m/s,
    the cap where nothing gives; what gives first (None at the cap), the line or bollard it is (None for
    neither), and how far P0 has then moved, m. `reason` says why there is no answer at all, and then all
    numbers are NaN."""

    time: float
    from_deg: Floats
    holds_ms: Floats
    gives_first: tuple[Gives | None, ...]
    where: tuple[str | None, ...]
    drift_m: Floats
    reason: str = ""

    @property
    def weakest(self) -> int:
        """Index of the direction from which she holds least; 0 where there is no answer."""
        return 0 if self.reason else int(self.holds_ms.argmin())


@dataclass(frozen=True, slots=True)
class WeakSpot:
    """What gives first, and the line or bollard it is; None where nothing gives, nothing is known, or it is
    neither."""

    gives: Gives | None = None
    where: str | None = None


NO_WEAK_SPOT: Final = WeakSpot()


def holding_power(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    criteria: Criteria | None = None,
) -> Holding:
    """Holding power at one instant (`situation` has one row; its wind does not matter).

    `unstretched` main rope, m, (lines,), NaN for a line that is not made fast. The balance is sought whether
    or not the stay keeps her in place. A current that is not known is taken as none.
    """
    criteria = criteria or Criteria()
    why = _why_not(arrangement, situation)
    if why:
        return _no_answer(situation, why)
    winds = _Winds(arrangement, situation, tensions_of(arrangement, unstretched), criteria)
    come_from = directions()
    holds, over, place = _bracketed(winds, come_from)
    at = winds.usage(come_from, holds[:, None], place)
    beyond = winds.usage(come_from, over[:, None], place)
    gives = holds < CAP_MS
    return Holding(
        time=float(situation.time[0]),
        from_deg=come_from,
        holds_ms=holds,
        gives_first=tuple(LIMITS[k] if g else None for k, g in zip(beyond.limit, gives, strict=True)),
        where=tuple(
            name_of(arrangement, LIMITS[k], int(i)) if g else None
            for k, i, g in zip(beyond.limit, beyond.where, gives, strict=True)
        ),
        drift_m=at.drift_m,
    )


def holds_from(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    come_from: Floats,
    criteria: Criteria | None = None,
) -> Floats:
    """(n,) 30 s wind at 10 m, m/s, that is held at each of n instants from one direction (n,), true deg; the
    cap where nothing gives, NaN where there is no answer."""
    return weakest_from(arrangement, situation, unstretched, come_from, criteria)[0]


def weakest_from(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    come_from: Floats,
    criteria: Criteria | None = None,
) -> tuple[Floats, tuple[WeakSpot, ...]]:
    """As `holds_from`, with what gives first at each instant: at a hair more wind than is held, or in a calm
    where not even that is."""
    holds = np.full(len(situation), np.nan)
    spots = [NO_WEAK_SPOT] * len(situation)
    able = bool(arrangement.fender_x.size) and arrangement.exposure.wind is not None
    rows = np.flatnonzero((why_unknown(situation) == NoAnswer.ANSWERED) & ~np.isnan(come_from) & able)
    if rows.size:
        tensions = tensions_of(arrangement, unstretched)
        winds = _Winds(arrangement, situation.at(rows), tensions, criteria or Criteria())
        holds[rows], over, place = _bracketed(winds, come_from[rows])
        beyond = winds.usage(come_from[rows], over[:, None], place)
        for row, limit, where in zip(rows.tolist(), beyond.limit, beyond.where, strict=True):
            if holds[row] < CAP_MS:
                spots[row] = WeakSpot(LIMITS[limit], name_of(arrangement, LIMITS[limit], int(where)))
    return holds, tuple(spots)


def directions() -> Floats:
    """(72,) true directions, deg."""
    return np.arange(DIRECTIONS, dtype=np.float64) * (360.0 / DIRECTIONS)


def name_of(arrangement: Arrangement, limit: Gives, where: int) -> str | None:
    """The line or bollard that a limit is about."""
    if where < 0:
        return None
    return arrangement.bollard_ids[where] if limit == "bollard" else arrangement.ids[where]


def repeated(situation: Situation, n: int) -> Situation:
    """Each instant of a situation n times."""
    return situation.at(np.repeat(np.arange(len(situation)), n))


@dataclass(frozen=True, slots=True, eq=False)
class _Winds:
    """One instant in many winds, or as many instants as there are directions, each in winds of its own."""

    arrangement: Arrangement
    situation: Situation
    tensions: Tensions
    criteria: Criteria

    def usage(self, come_from: Floats, speeds: Floats, place: Floats | None = None) -> Usage:
        """Usage at speeds (directions, k), in one row of directions x k; `place` (3, directions) where she
        lies in such winds, as far as it is known."""
        start = None if place is None else np.repeat(place, speeds.shape[1], axis=1)
        blown = replace(
            repeated(self.situation, speeds.size // len(self.situation)),
            wind_speed=speeds.ravel(),
            wind_from=np.repeat(come_from, speeds.shape[1]),
        )
        loads, _ = loads_of(self.arrangement.exposure, blown, self.criteria.gust_factor)
        return usage_of(self.arrangement, blown, self.tensions, loads, self.criteria, start)


def _bracketed(winds: _Winds, come_from: Floats) -> tuple[Floats, Floats, Floats]:
    """By direction: the wind that is held, one a hair stronger that is not (both the cap where nothing
    gives), and (3, directions) where she lies in about that wind."""
    speeds: Floats = np.arange(0.0, CAP_MS + STEP_MS / 2.0, STEP_MS)
    count = come_from.size
    tried = winds.usage(come_from, np.tile(speeds, (count, 1)))
    last, first = _first_gone(tried.share.reshape(count, -1))
    place = tried.place.reshape(3, count, -1)[:, np.arange(count), last]
    return _divided(winds, come_from, speeds[last], speeds[first], place)


def _first_gone(share: Floats) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Of (directions, speeds) shares: index of the last speed that holds before the first that does not, and
    of that. Both are the last where all hold, both 0 where none does."""
    gone, last = share > 1.0, share.shape[1] - 1
    first = np.where(gone.any(axis=1), gone.argmax(axis=1), last + 1)
    return np.maximum(first - 1, 0), np.minimum(first, last)


def _divided(
    winds: _Winds, come_from: Floats, low: Floats, high: Floats, place: Floats
) -> tuple[Floats, Floats, Floats]:
    """Brackets (directions,) divided until they are narrow: `low` holds, `high` does not. `place` (3,
    directions) where she lies at about `low`."""
    rows = np.arange(low.size)
    while (high - low).max() > WITHIN_MS:
        between = low[:, None] + (high - low)[:, None] * (np.arange(PARTS + 1) / PARTS)
        tried = winds.usage(come_from, between[:, 1:-1], place)
        gone = tried.share.reshape(low.size, PARTS - 1) > 1.0
        first = np.where(gone.any(axis=1), gone.argmax(axis=1), PARTS - 1)
        places = np.concatenate((place[:, :, None], tried.place.reshape(3, low.size, -1)), axis=2)
        low, high, place = between[rows, first], between[rows, first + 1], places[:, rows, first]
    return low, high, place


def _why_not(arrangement: Arrangement, situation: Situation) -> str:
    if not len(arrangement.fenders):
        return "no fenders at the berth"
    if arrangement.exposure.wind is None:
        return "wind areas of the ship not given"
    code = int(why_unknown(situation)[0])
    return "" if code == NoAnswer.ANSWERED else REASONS[code]


def _no_answer(situation: Situation, why: str) -> Holding:
    nan = np.full(DIRECTIONS, np.nan)
    nobody = (None,) * DIRECTIONS
    return Holding(float(situation.time[0]), directions(), nan, nobody, nobody, nan.copy(), why)
