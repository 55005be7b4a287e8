"""How far a set is used, and what gives first: the one measure behind holding power and criteria.

Each limit is a share that is 1 where it goes: a line's load by its working limit, by its winch brake's
holding, a bollard's load (the vector sum of its lines) by its SWL, the drift by its limit. Contact is another
question, never in one maximum with them: it goes where the ship's side comes off the nearest fender, while
all lines may hold.
"""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.balance import RESIDUAL
from alongside.mechanics.flow import Loads
from alongside.mechanics.geometry import Leads, leads_of
from alongside.mechanics.hold import standing_off
from alongside.mechanics.mooring import loads_at, settled
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Pose
from alongside.mechanics.tension import Tensions
from alongside.readings import Floats
from alongside.stay.gear import drift_limits
from alongside.stay.model import Stay

Gives = Literal["wll", "brake", "bollard", "drift"]
LIMITS: Final[tuple[Gives, ...]] = ("wll", "brake", "bollard", "drift")
STRENGTH: Final = 3
"""So many of them are of strength; the drift is of the ship's place."""
OFF_M: Final = 0.001
"""m off the nearest fender at which contact has gone: in a calm, slack lines leave her just touching."""


@dataclass(frozen=True, slots=True)
class Criteria:
    """What counts as holding. `surge_m` and `sway_m` limit the drift from the place either way, None not at
    all; the default is that of a tanker at loading arms (PIANC 1995, from memory). `margin` is kept in hand
    of every strength: 0.1 lets lines, brakes and bollards go to 90 %. `gust_factor` multiplies the 30 s
    wind."""

    surge_m: float | None = 3.0
    sway_m: float | None = 3.0
    margin: float = 0.0
    gust_factor: float = 1.0


def criteria_of(stay: Stay) -> Criteria:
    """Return what counts as holding by the stay file: its drift limits (the alarm stage), gust factor and
    margin."""
    surge, sway = drift_limits(stay)
    return Criteria(surge.alarm, sway.alarm, margin=stay.holding.margin, gust_factor=stay.holding.gust_factor)


@dataclass(frozen=True, slots=True, eq=False)
class Usage:
    """(n,) the largest share of all limits, infinite where nothing holds her; (n,) index into `LIMITS` of
    that limit and of the line or bollard it is (-1 for neither); her place (3, n): surge, sway m, yaw rad;
    the share of each limit (limits, n); and the metres (n,) between her side and the nearest fender, negative
    while one is pressed in, infinite where nothing holds her."""

    share: Floats
    limit: NDArray[np.intp]
    where: NDArray[np.intp]
    place: Floats
    each: Floats
    off_m: Floats

    @property
    def drift_m(self) -> Floats:
        """Return how far P0 has moved, m (n,)."""
        moved: Floats = np.hypot(self.place[0], self.place[1])
        return moved


def usage_of(
    arrangement: Arrangement,
    situation: Situation,
    tensions: Tensions,
    loads: Loads,
    criteria: Criteria,
    start: Floats | None = None,
    left: float = RESIDUAL,
) -> Usage:
    """Return how far the set is used at each of n situations, whose tide, draughts and heel are known;
    `start` and `left` as in `balance`."""
    pose, _ = settled(arrangement, situation, tensions, loads, start=start, left=left)
    leads = leads_of(arrangement, pose)
    tension = loads_at(arrangement, tensions, leads)
    strength = 1.0 - criteria.margin
    shares = [
        _largest(tension / (strength * arrangement.smallest_wll_kn[:, None])),
        _largest(tension / (strength * arrangement.brake_kn[:, None])),
        _largest(_bollard_shares(arrangement, leads, tension) / strength),
        (_drift_share(pose, criteria), np.full(pose.surge.size, -1)),
    ]
    share = np.array([each for each, _ in shares])
    adrift = np.isnan(pose.surge)
    share[:, adrift] = 0.0
    share[LIMITS.index("drift"), adrift] = np.inf
    limit = share.argmax(axis=0)
    rows = np.arange(limit.size)
    where = np.array([at for _, at in shares])[limit, rows]
    off_m = np.where(adrift, np.inf, standing_off(arrangement, pose))
    place = np.array([pose.surge, pose.sway, pose.yaw])
    return Usage(share[limit, rows], limit, where, place, share, off_m)


def _largest(shares: Floats) -> tuple[Floats, NDArray[np.intp]]:
    """Return the largest (n,) of (things, n) and which; 0 and -1 where none is known."""
    if not shares.shape[0]:
        return np.zeros(shares.shape[1]), np.full(shares.shape[1], -1)
    known = np.where(np.isnan(shares), 0.0, shares)
    at = known.argmax(axis=0)
    largest: Floats = known[at, np.arange(at.size)]
    return largest, np.where(largest > 0.0, at, -1)


def _bollard_shares(arrangement: Arrangement, leads: Leads, tension: Floats) -> Floats:
    """Return the load of each bollard by its SWL (bollards, n)."""
    bears = arrangement.bears.astype(np.float64)
    per_metre = tension / np.where(leads.outboard > 0.0, leads.outboard, np.inf)
    load = np.sqrt(sum((bears @ (per_metre * axis)) ** 2 for axis in (leads.x, leads.y, leads.z)))
    shares: Floats = load / arrangement.bollard_swl_kn[:, None]
    return shares


def _drift_share(pose: Pose, criteria: Criteria) -> Floats:
    share = np.zeros(pose.surge.size)
    for moved, limit in ((pose.surge, criteria.surge_m), (pose.sway, criteria.sway_m)):
        if limit is not None:
            share = np.maximum(share, np.abs(moved) / limit)
    return share
