"""What holds her at one instant: her place, what her lines carry, and what wind they hold."""

from dataclasses import dataclass
from math import isfinite, nan
from typing import Final

import numpy as np

from alongside.alerts.measures import HANGS_SLACK
from alongside.forecast.basis import Basis
from alongside.forecast.present import Present
from alongside.mechanics.hold import hold, standing_off
from alongside.mechanics.holding import HoldingPower, holding_power
from alongside.mechanics.holding_around import WITHIN_DEG
from alongside.mechanics.reasons import REASONS, NoAnswer
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Floats
from alongside.stay.gear import drift_limits
from alongside.stay.model import Stay

GUST_TO_MEAN: Final = 0.87
"""A 3 s gust times this is a 30 s mean (US Navy, UFC 4-159-03)."""


@dataclass(frozen=True, slots=True, eq=False)
class StateNow:
    """One instant. `wind_ms` is what counts against `power`: the 30 s mean, or 0.87 of the gust where that is
    more; NaN where not known. `limits` are the stay's; (lines,) in the order of its lines."""

    stay: Stay
    basis: Basis
    situation: Situation
    hold: Hold
    power: HoldingPower
    off_m: float
    """m off the nearest fender, 0 while she lies on one; NaN where not known or held in place."""

    @classmethod
    def of(cls, basis: Basis, present: Present) -> "StateNow":
        arrangement, here = basis.arrangement, present.situation()
        states = present.holding(hold(arrangement, here, present.unstretched))
        power = holding_power(arrangement, here, present.unstretched, basis.criteria)
        off = float(standing_off(arrangement, states.pose)[0]) if arrangement.balanced else nan
        return cls(basis.stay, basis, here, states, power, max(off, 0.0) if isfinite(off) else nan)

    @property
    def time(self) -> float:
        return float(self.situation.time[0])

    @property
    def lines(self) -> tuple[str, ...]:
        return self.basis.arrangement.ids

    @property
    def adrift(self) -> bool:
        """Return whether nothing keeps her near the berth."""
        return bool(self.hold.reason[0] == NoAnswer.NOTHING_HOLDS)

    @property
    def why_not(self) -> str:
        """Return why where she lies is not known; "" where it is, or where nothing keeps her."""
        return "" if self.adrift else REASONS[int(self.hold.reason[0])]

    @property
    def wind_ms(self) -> float:
        """Return the 30 s wind that counts now, m/s: the mean, or 0.87 of the gust where that is more."""
        mean, gust = float(self.situation.wind_speed[0]), float(self.situation.wind_gust[0])
        return float(np.fmax(mean, GUST_TO_MEAN * gust)) if isfinite(mean) else nan

    @property
    def tension_kn(self) -> Floats:
        tension: Floats = self.hold.lines.tension_kn[0]
        return tension

    @property
    def fast(self) -> frozenset[str]:
        """Return the lines whose length is known: they are out, slack or not."""
        known = ~np.isnan(self.hold.lines.unstretched_m[0])
        return frozenset(line for line, is_known in zip(self.lines, known.tolist(), strict=True) if is_known)

    def beyond(self, most_kn: Floats) -> frozenset[str]:
        """Return the lines that carry more than (lines,) kN."""
        over = np.flatnonzero(self.tension_kn > most_kn).tolist()
        return frozenset(self.lines[at] for at in over)

    @property
    def would_part(self) -> frozenset[str]:
        """Return the lines that carry more than the breaking load of the weaker of rope and tail."""
        return self.beyond(np.array([line.smallest_mbl_kn for line in self.stay.lines]))

    @property
    def over_wll(self) -> frozenset[str]:
        return self.beyond(self.basis.arrangement.smallest_wll_kn)

    @property
    def over_brake(self) -> frozenset[str]:
        return self.beyond(self.basis.arrangement.brake_kn)

    @property
    def slack(self) -> frozenset[str]:
        """Return the lines that hang slack: no more than the stay's warning, a share of the WLL, on them."""
        least = self.stay.limits.slack_share.warning or HANGS_SLACK
        hang = np.flatnonzero(self.hold.lines.load_share[0] <= least).tolist()
        return frozenset(self.lines[at] for at in hang)

    @property
    def breasts(self) -> frozenset[str]:
        """Return the breast lines that are fast and do not hang slack."""
        roles = {line.id: line.role for line in self.stay.lines}
        return frozenset(line for line in self.fast - self.slack if roles[line] == "breast")

    @property
    def drift_share(self) -> float:
        """Return how far she is from her place by the alarm limits; NaN where not known."""
        surge, sway = drift_limits(self.stay)
        moved = ((self.hold.pose.surge, surge.alarm), (self.hold.pose.sway, sway.alarm))
        if not self.basis.arrangement.balanced:
            return nan
        return max((abs(float(metres[0])) / limit for metres, limit in moved if limit), default=nan)

    @property
    def drift_m(self) -> float:
        """Return how far she lies along and off her place, the larger of the two, m."""
        if not self.basis.arrangement.balanced:
            return nan
        return max(abs(float(self.hold.pose.surge[0])), abs(float(self.hold.pose.sway[0])))

    @property
    def square_off(self) -> int:
        """Return the index of the direction from which the wind blows square off the berth."""
        return nearest_direction(self.power, self.stay.berth.bearing_of_x + 90.0)

    @property
    def in_the_wind(self) -> int:
        """Return the index of the direction, within 15 deg of where the wind comes from, from which least is
        held; -1 where the wind is not known."""
        come_from = float(self.situation.wind_from[0])
        if not isfinite(come_from) or self.power.reason:
            return -1
        apart = np.abs((self.power.from_deg - come_from + 180.0) % 360.0 - 180.0)
        return int(np.where(apart <= WITHIN_DEG, self.power.holds_ms, np.inf).argmin())

    @property
    def wind_share(self) -> float:
        """Return the wind by what is held from about where it blows; infinite where nothing is held, NaN
        where not known."""
        at, wind = self.in_the_wind, self.wind_ms
        if at < 0 or not isfinite(wind):
            return nan
        holds = float(self.power.holds_ms[at])
        return wind / holds if holds > 0.0 else np.inf


def nearest_direction(power: HoldingPower, come_from: float) -> int:
    """Return the index of the direction nearest to a true one, deg."""
    return int(np.abs((power.from_deg - come_from + 180.0) % 360.0 - 180.0).argmin())
