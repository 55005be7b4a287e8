"""Who holds her: how much of what keeps her comes from head, breast, spring and stern lines.

Asked in the wind that the lines hold from square off the berth, from ahead and from astern: of all pull on
the ship against that wind, level and along it, the part of each role. A line that pulls with the wind has no
part. A breast that comes steep pulls down instead of in, and its part goes to the others.
"""

from dataclasses import dataclass, replace
from typing import Final, Literal

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.geometry import leads_of
from alongside.mechanics.hold import why_unknown
from alongside.mechanics.holding_search import Winds, first_limits
from alongside.mechanics.mooring import loads_at, settled
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import tensions_of
from alongside.mechanics.usage import Criteria
from alongside.mechanics.wind_heel import listed_by_wind
from alongside.readings import Floats

Against = Literal["off_berth", "ahead", "astern"]
WINDS: Final[tuple[Against, ...]] = ("off_berth", "ahead", "astern")
ROLES: Final = ("head", "breast", "spring", "stern")


@dataclass(frozen=True, slots=True)
class RoleShares:
    """One wind: where it comes from, true deg, how much of it the lines hold, m/s, and the part of each of
    `ROLES` of the pull against it; NaN where no line pulls against it."""

    against: Against
    from_deg: float
    holds_ms: float
    shares: tuple[float, ...]


def shares_by_role(
    arrangement: Arrangement,
    roles: tuple[str, ...],
    situation: Situation,
    unstretched: Floats,
    criteria: Criteria,
) -> tuple[tuple[RoleShares, ...], ...]:
    """Return the parts in each of `WINDS` at n instants whose tide, draughts and heel are known, on a ship
    whose wind areas are given and at a berth with fenders; `roles` (lines,) of the lines, `unstretched`
    (lines,) main rope, m. Empty at an instant of which nothing is known."""
    known = np.flatnonzero(why_unknown(situation) == NoAnswer.ANSWERED)
    answers: list[tuple[RoleShares, ...]] = [()] * len(situation)
    if not known.size:
        return tuple(answers)
    come_from = _come_from(arrangement)
    here = replace(situation.at(np.repeat(known, len(WINDS))), age=None)
    every = np.tile(come_from, known.size)
    tensions = tensions_of(arrangement, unstretched)
    bracket = first_limits(Winds(arrangement, here, tensions, criteria, every))
    blown = replace(here, wind_speed=bracket.low, wind_from=every)
    blown = listed_by_wind(arrangement.exposure, blown, here, criteria.gust_factor)
    loads, _ = loads_of(arrangement.exposure, blown, criteria.gust_factor)
    pose, _ = settled(arrangement, blown, tensions, loads, start=bracket.place)
    leads = leads_of(arrangement, pose)
    tension = np.nan_to_num(loads_at(arrangement, tensions, leads)) * arrangement.far_ends.hold_her()
    per_metre = tension / np.where(leads.outboard > 0.0, leads.outboard, np.inf)
    against = np.tile(np.arange(len(WINDS)), known.size)
    pull = np.maximum(np.choose(against, (leads.in_, leads.ahead, -leads.ahead)) * per_metre, 0.0)
    part = np.array([pull[[role == each for role in roles]].sum(axis=0) for each in ROLES])
    whole = np.nan_to_num(part.sum(axis=0))
    shares = np.divide(part, whole, out=np.full(part.shape, np.nan), where=whole > 0.0)
    for at, row in enumerate(known.tolist()):
        answers[row] = tuple(
            RoleShares(
                wind,
                float(come_from[k]),
                float(bracket.low[at * len(WINDS) + k]),
                tuple(shares[:, at * len(WINDS) + k].tolist()),
            )
            for k, wind in enumerate(WINDS)
        )
    return tuple(answers)


def _come_from(arrangement: Arrangement) -> Floats:
    """Return the true directions (winds,) from which each wind comes: from the quay, the bow, the stern."""
    heading = arrangement.exposure.heading
    berth_x = heading if arrangement.head > 0.0 else heading + 180.0
    return np.array([berth_x + 90.0, heading, heading + 180.0]) % 360.0
