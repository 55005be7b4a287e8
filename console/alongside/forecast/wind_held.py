"""What wind the lines hold against, case by case of the hours ahead: each case has its own direction."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import Expected
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.holding import WeakSpot, why_not
from alongside.mechanics.holding_around import weakest_around
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import tensions_of
from alongside.mechanics.usage import usage_of
from alongside.readings import Floats
from alongside.wording.names import what_gives

MORE: Final = 1.15
"""Times the strongest wind of all cases: directions between those tried may hold a little less."""
EVERY_S: Final = 1800.0
OFF_DEG: Final = np.array([-60.0, -30.0, 0.0, 30.0, 60.0])
"""Off the direction that is expected: two standard deviations of how far the wind may turn otherwise."""
TIGHT: Final = 0.70
"""Of a limit that is used in a calm: a line so tight is to be tended, and no tug cures it. Where stretch is a
caution by default; ours."""


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """`holds` (members, m) the 30 s wind that is held from where it blows in each case, m/s, NaN where not
    known; `by_wind` (m,) whether wind is what would pass a limit, and not a line that is too tight in a calm;
    `weak` what gives first as expected at the instants `time`, about half an hour apart."""

    holds: Floats
    by_wind: NDArray[np.bool_]
    time: Floats
    weak: tuple[WeakSpot, ...]

    def gives_at(self, time: float) -> str:
        """Return what gives first about a time, in words; "" where nothing does."""
        weak = self.weak[int(np.abs(self.time - time).argmin())]
        return what_gives(weak.gives, weak.where)


def held_by_members(basis: Basis, expected: Expected, lengths: Floats) -> Held | None:
    """Return what is held with `lengths` of main rope (lines,). Every half hour it is sought about the wind
    that is expected and to either side of it, straight between; tide and draughts are as expected. None where
    no rule asks, or no direction is known."""
    if not basis.watches_holding or np.isnan(expected.wind_from[0]).any():
        return None
    time = expected.time
    step = max(1, int(EVERY_S / np.diff(time).min())) if time.size > 1 else 1
    rows = np.unique(np.append(np.arange(0, time.size, step), time.size - 1))
    here = expected.situation(1).at(rows)
    found, weak = weakest_around(basis.arrangement, here, lengths, basis.criteria)
    if np.isnan(found).all():
        return None
    loose = limit_share(basis, here, lengths, np.zeros(len(here))) < TIGHT
    held = np.tile(found, (OFF_DEG.size, 1))
    if loose.any():
        most = np.fmax.reduce(expected.wind_speed[:, rows[loose]], axis=0, initial=0.0) * MORE
        for at in np.flatnonzero(OFF_DEG):
            turned = here.at(np.flatnonzero(loose))
            turned = replace(turned, wind_from=(turned.wind_from + OFF_DEG[at]) % 360.0)
            held[at, loose] = _held_from(basis, turned, lengths, most)
    by_time = np.array([np.interp(time, time[rows], each) for each in held])
    by_wind = loose[np.searchsorted(rows, np.arange(time.size), side="right") - 1]
    return Held(_between(by_time, expected.wind_from), by_wind, time[rows], tuple(weak))


def why_not_held(basis: Basis, expected: Expected) -> str:
    """Return why it is not known what is held, in words."""
    if not basis.stay.balance:
        return "balance is off, the ship is held in place"
    why = why_not(basis.arrangement, expected.situation(1).at(np.zeros(1, dtype=np.intp)))
    if not why and np.isnan(expected.wind_from[0]).any():
        return "wind direction not known"
    return why or "no line of a known length"


def _held_from(basis: Basis, here: Situation, lengths: Floats, most: Floats) -> Floats:
    """Return (n,) what is held from where the wind blows; no less than the cap where a wind of `most` (n,)
    m/s, and half of it, reaches no limit at any instant: then nobody has to seek it."""
    shares = np.array([limit_share(basis, here, lengths, speed) for speed in (most, most / 2.0)])
    if (shares < 1.0).all():
        return np.fmax(most, CAP_MS)
    return weakest_around(basis.arrangement, here, lengths, basis.criteria)[0]


def limit_share(basis: Basis, here: Situation, lengths: Floats, speed: Floats) -> Floats:
    """Return (n,) the share of the limit that goes first in a wind of (n,) m/s."""
    blown = replace(here, wind_speed=speed, wind_gust=speed, age=None)
    loads, _ = loads_of(basis.arrangement.exposure, blown, basis.criteria.gust_factor)
    tensions = tensions_of(basis.arrangement, lengths)
    return usage_of(basis.arrangement, blown, tensions, loads, basis.criteria).share


def _between(held: Floats, come_from: Floats) -> Floats:
    """Return (members, m) what is held, of (k, m) at `OFF_DEG` off the first member's direction; the farthest
    for one that is farther off."""
    off = (come_from - come_from[0] + 180.0) % 360.0 - 180.0
    place = np.clip((off - OFF_DEG[0]) / (OFF_DEG[1] - OFF_DEG[0]), 0.0, OFF_DEG.size - 1.0)
    low = np.minimum(place.astype(np.intp), OFF_DEG.size - 2)
    part = place - low
    columns = np.arange(held.shape[1])
    between: Floats = held[low, columns] * (1.0 - part) + held[low + 1, columns] * part
    return between
