"""Holding power: what wind from each direction a set of lines holds, and what gives first.

For 72 true directions, the 30 s mean wind at 10 m at which the first limit goes (`usage`), at one tide,
draught and heel, with the current of the situation or none. The wind that is given is held; a hundredth of a
metre a second more is not. A limit that goes and comes back within one step of the search (`holding_search`)
is not seen.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import nan
from typing import Final, Literal

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.hold import why_unknown
from alongside.mechanics.holding_search import CAP_MS, Bracket, Winds, first_limits
from alongside.mechanics.reasons import REASONS, NoAnswer
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import tensions_of
from alongside.mechanics.usage import LIMITS, Criteria, Gives
from alongside.readings import Floats

DIRECTIONS: Final = 72


@dataclass(frozen=True, slots=True)
class Next:
    """What is held once the thing before has given, m/s, and what gives then; None where nothing does. Where
    it is no more than was held before, it goes at once."""

    holds_ms: float
    gives: Gives | None
    where: str | None


Chain = tuple[Next, ...]
BrakesDid = Literal["", "held", "slipped"]
"""What brakes in question are taken to have done; "" where none is in question."""


@dataclass(frozen=True, slots=True, eq=False)
class HoldingPower:
    """By direction, each (72,): where the true wind comes from, deg; the 30 s mean at 10 m that is held, m/s,
    the cap where nothing gives; what gives first (None at the cap), the line or bollard it is (None for
    neither), and how far P0 has then moved, m; and the wind, m/s, at which her side leaves the last fender
    it touches, the cap where it never does. `reason` says why there is no answer at all, and then all numbers
    are NaN."""

    time: float
    from_deg: Floats
    holds_ms: Floats
    gives_first: tuple[Gives | None, ...]
    where: tuple[str | None, ...]
    drift_m: Floats
    contact_ms: Floats
    reason: str = ""
    without: tuple[tuple[str, str], ...] = ()
    """Lines that nothing is known of and that hold nothing here, each with why in words."""
    then: Mapping[int, Chain] = field(default_factory=dict)
    """What goes next, by direction, for those for which it was asked."""

    @property
    def weakest(self) -> int:
        """Return the index of the direction from which she holds least; 0 where there is no answer."""
        return 0 if self.reason else int(self.holds_ms.argmin())

    def holds_after(self, at: int) -> float:
        """Return the wind, m/s, that is held from a direction once all has gone that goes at once with the
        first thing; 0 where nothing keeps her then, NaN where it was not asked."""
        if at not in self.then:
            return nan
        return next((each.holds_ms for each in self.then[at] if each.holds_ms > self.holds_ms[at]), 0.0)

    def contact_about(self, from_deg: float, within_deg: float = 15.0) -> float:
        """Return the wind, m/s, in which she leaves a fender from the weakest direction so near to one; of
        all where that is not known. NaN where there is no answer."""
        if self.reason:
            return nan
        off = np.abs((self.from_deg - from_deg + 180.0) % 360.0 - 180.0)
        near = off <= within_deg
        return float(self.contact_ms[near].min() if near.any() else self.contact_ms.min())

    @property
    def first_off(self) -> int:
        """Return the index of the direction from which she leaves her fenders first; 0 as above."""
        return 0 if self.reason else int(self.contact_ms.argmin())


@dataclass(frozen=True, slots=True)
class WeakSpot:
    """What gives first, and the line or bollard it is; None where nothing gives, nothing is known, or it is
    neither. Records of old may name the fenders, which were a limit among the others then. Beside it, where
    it was asked among several directions, the wind that is held, m/s, and where that comes from, true."""

    gives: Gives | Literal["off_fenders"] | None = None
    where: str | None = None
    holds_ms: float | None = None
    from_deg: float | None = None
    if_brakes: BrakesDid = ""
    """The state that this is the answer of, while brakes are in question."""


NO_WEAK_SPOT: Final = WeakSpot()


def holding_power(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    criteria: Criteria | None = None,
) -> HoldingPower:
    """Return holding power at one instant (`situation` has one row; its wind does not matter).

    `unstretched` main rope, m, (lines,), NaN for a line that is not made fast. The balance is sought whether
    or not the stay keeps her in place. A current that is not known is taken as none.
    """
    criteria = criteria or Criteria()
    why = why_not(arrangement, situation)
    if why:
        return _no_answer(situation, why)
    come_from = directions()
    winds = Winds(
        arrangement,
        situation.at(np.zeros(DIRECTIONS, dtype=np.intp)),
        tensions_of(arrangement, unstretched),
        criteria,
        come_from,
    )
    bracket = first_limits(winds)
    contact = first_limits(replace(winds, contact=True))
    gives, where = gives_first(arrangement, bracket)
    return HoldingPower(
        time=float(situation.time[0]),
        from_deg=come_from,
        holds_ms=bracket.low,
        gives_first=gives,
        where=where,
        drift_m=bracket.drift_m,
        contact_ms=contact.low,
    )


def holds_from(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    come_from: Floats,
    criteria: Criteria | None = None,
) -> Floats:
    """Return the 30 s wind (n,) at 10 m, m/s, that is held at each of n instants from one direction (n,),
    true deg; the cap where nothing gives, NaN where there is no answer."""
    return weakest_from(arrangement, situation, unstretched, come_from, criteria)[0]


def weakest_from(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    come_from: Floats,
    criteria: Criteria | None = None,
) -> tuple[Floats, tuple[WeakSpot, ...]]:
    """Return the same as `holds_from`, with what gives first at each instant: at a hair more wind than is
    held, or in a calm where not even that is."""
    holds = np.full(len(situation), np.nan)
    spots = [NO_WEAK_SPOT] * len(situation)
    able = bool(arrangement.fender_x.size) and arrangement.exposure.wind is not None
    rows = np.flatnonzero((why_unknown(situation) == NoAnswer.ANSWERED) & ~np.isnan(come_from) & able)
    if rows.size:
        winds = Winds(
            arrangement,
            situation.at(rows),
            tensions_of(arrangement, unstretched),
            criteria or Criteria(),
            come_from[rows],
        )
        bracket = first_limits(winds)
        holds[rows] = bracket.low
        for row, gives, where in zip(rows.tolist(), *gives_first(arrangement, bracket), strict=True):
            spots[row] = WeakSpot(gives, where)
    return holds, tuple(spots)


def gives_first(
    arrangement: Arrangement, bracket: Bracket
) -> tuple[tuple[Gives | None, ...], tuple[str | None, ...]]:
    """Return what gives first in each wind of a bracket, and the line or bollard it is."""
    goes = (bracket.low < CAP_MS).tolist()
    gives = tuple(LIMITS[at] if goes[n] else None for n, at in enumerate(bracket.limit.tolist()))
    named = zip(gives, bracket.where.tolist(), strict=True)
    return gives, tuple(None if limit is None else name_of(arrangement, limit, at) for limit, at in named)


def directions() -> Floats:
    """Return the true directions, deg (72,)."""
    return np.arange(DIRECTIONS, dtype=np.float64) * (360.0 / DIRECTIONS)


def name_of(arrangement: Arrangement, limit: Gives, where: int) -> str | None:
    """Return the line or bollard that a limit is about; None for neither."""
    if where < 0:
        return None
    return arrangement.bollard_ids[where] if limit == "bollard" else arrangement.ids[where]


def why_not(arrangement: Arrangement, situation: Situation) -> str:
    """Return why nothing is known at one instant (one row), in words; "" where it is."""
    if not len(arrangement.fenders):
        return "no fenders at the berth"
    if arrangement.exposure.wind is None:
        return "wind areas of the ship not given"
    code = int(why_unknown(situation)[0])
    return "" if code == NoAnswer.ANSWERED else REASONS[code]


def _no_answer(situation: Situation, why: str) -> HoldingPower:
    nan = np.full(DIRECTIONS, np.nan)
    nobody = (None,) * DIRECTIONS
    return HoldingPower(
        float(situation.time[0]), directions(), nan, nobody, nobody, nan.copy(), nan.copy(), why
    )
