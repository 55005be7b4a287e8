"""What wind the set will hold in the hours ahead, and what gives first."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from console.ahead.ground import Ground
from console.ahead.model import LimitAhead
from console.mechanics.holding import WeakSpot, weakest_from
from console.outlook.expected import Expected
from console.outlook.present import Present
from console.readings import Floats

EVERY_S: Final = 1800.0


@dataclass(frozen=True, slots=True, eq=False)
class HoldsAhead:
    """`share` (members x m,) is the wind by what is held from where it is expected to blow; `weak` is what
    gives first at the instants `time`, about half an hour apart."""

    share: Floats
    time: Floats
    weak: tuple[WeakSpot, ...]

    def named(self, limit: LimitAhead) -> LimitAhead:
        """The limit with what gives first about when it is reached, where it is one of holding."""
        if limit.cause != "holding":
            return limit
        when = limit.not_before if limit.expected is None else limit.expected
        return replace(limit, weak=self.weak[int(np.abs(self.time - when).argmin())])


def holds_ahead(ground: Ground, present: Present, expected: Expected) -> HoldsAhead | None:
    """None where no rule asks. What is held is worked out every half hour for what is expected, and stands in
    between for all members."""
    if not any(rule.cause == "holding" for rule in ground.rules):
        return None
    step = max(1, int(EVERY_S / np.diff(expected.time).min())) if expected.time.size > 1 else 1
    rows = np.unique(np.append(np.arange(0, expected.time.size, step), expected.time.size - 1))
    here = expected.situation(1).at(rows)
    holds, weak = weakest_from(ground.arrangement, here, present.unstretched, here.wind_from, ground.criteria)
    between = np.interp(expected.time, expected.time[rows], holds)
    share = np.full(expected.tide.shape, np.inf)
    np.divide(expected.wind_speed, between, out=share, where=between != 0.0)
    return HoldsAhead(share.ravel(), expected.time[rows], weak)
