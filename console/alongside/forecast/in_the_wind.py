"""Whether a set stands a wind: tried on the mechanics at the lengths that are out, or that a deed leaves.

The wind is tried from all directions within 15 deg of where it blows. Strength is tried where it shows at
once whether the wind reaches the caution share of what is held: at the speed of which it is that share, and
at lower ones, since a limit may be past in less wind or in none. That is one batch of balances, where the
wind that is held would take a search.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.basis import Basis
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.holding_around import WITHIN_DEG, weakest_around
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import tensions_of
from alongside.mechanics.usage import Usage, usage_of
from alongside.mechanics.wind_heel import listed_by_wind
from alongside.readings import Floats
from alongside.stay.wind_means import GUST as GUST

STEPS: Final = np.arange(-3, 4) * (WITHIN_DEG / 3.0)
"""deg to either side of the wind."""
HAIR: Final = 0.99
"""Of the caution share: directions between those tried may hold a little less."""
OF_THE_WIND: Final = 0.5
"""Of a limit that the wind takes at least, where it is what matters. Common practice, no source."""
SOON_S: Final = 1800.0
"""A round that may begin so soon is tried in the wind of now too; one of later in that of then alone."""
WORSE: Final = 1e-3
"""Of a limit: less is the same."""
WORSE_M: Final = 0.005
"""m farther off the fenders: less is the same."""
SAME_MS: Final = 0.03
"""m/s: the wind that is held is known no better from one search to the next."""


@dataclass(frozen=True, slots=True, eq=False)
class Stood:
    """(n,) each, the worst within 15 deg: the share of the limit that goes first, in the wind by the caution
    share or in less, over 1 where the wind reaches that share of what is held; the same in a calm; and the
    metres off the nearest fender in the wind itself, negative while one is pressed in."""

    share: Floats
    calm: Floats
    off_m: Floats

    @property
    def over(self) -> NDArray[np.bool_]:
        """Return (n,) whether the wind reaches the caution share of what is held."""
        return np.asarray(self.share > 1.0)

    @property
    def of_the_wind(self) -> NDArray[np.bool_]:
        """Return (n,) whether that is the wind's doing, and not that of a line which is too tight anyway."""
        return np.asarray(self.over & (self.share >= self.calm + OF_THE_WIND) & np.isfinite(self.calm))


def stood(basis: Basis, situation: Situation, lengths: Floats, caution: float) -> Stood:
    """Return how the set stands the wind of each of n situations with `lengths` of main rope, m, (lines,) or
    (n, lines); `caution` is the share of what is held that the wind may reach."""
    n, each = len(situation), STEPS.size
    wind = situation.wind_speed
    most = np.minimum(wind / (caution * HAIR), np.maximum(CAP_MS, wind))
    speeds = np.stack([np.zeros(n), wind, (wind + most) / 2.0, most])
    count = len(speeds)
    rows = np.tile(np.repeat(np.arange(n), each), count)
    come_from = np.tile((situation.wind_from[:, None] + STEPS).ravel() % 360.0, count)
    before = situation.at(rows)
    blown = replace(before, wind_speed=np.repeat(speeds.ravel(), each), wind_from=come_from, age=None)
    blown = listed_by_wind(basis.arrangement.exposure, blown, before, basis.criteria.gust_factor)
    out = lengths if lengths.ndim == 1 else lengths[rows]
    used = _usage(basis, blown, out)
    share, off_m = (of.reshape(count, n, each).max(axis=2) for of in (used.share, used.off_m))
    return Stood(share.max(axis=0), share[0], off_m[1])


def _usage(basis: Basis, situation: Situation, lengths: Floats) -> Usage:
    loads, _ = loads_of(basis.arrangement.exposure, situation, basis.criteria.gust_factor)
    tensions = tensions_of(basis.arrangement, lengths)
    return usage_of(basis.arrangement, situation, tensions, loads, basis.criteria)


def holds_within(basis: Basis, situation: Situation, lengths: Floats) -> float:
    """Return the wind, m/s, that is held from the worst direction within 15 deg of the wind of one situation
    (one row)."""
    holds, _ = weakest_around(basis.arrangement, situation, lengths, basis.criteria)
    return float(holds[0])


def can_be_tried(basis: Basis) -> bool:
    """Return whether it can be tried at all: she lies in balance, and wind leans on her."""
    has_wind = basis.arrangement.exposure.wind is not None
    return basis.watches_holding and basis.arrangement.balanced and has_wind


def limits_in_wind(basis: Basis) -> tuple[float, float]:
    """Return the caution share of holding, and the metres off the fenders that are a warning; infinite where
    the stay file has no such limit."""
    limits = basis.stay.limits
    shares = [each for each in limits.holding_share.as_tuple() if each == each]
    off = limits.off_fenders_m.warning
    return min(shares, default=np.inf), np.inf if off is None else off
