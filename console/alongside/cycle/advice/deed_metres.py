"""By how much to slack or heave: lengths changed step by step, the mechanics solved again."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite, nan
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.basis import Basis
from alongside.mechanics.bollards import bollard_loads
from alongside.mechanics.hold import hold, standing_off, why_unknown
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Floats

STEP_M: Final = 0.05
"""Deeds are in steps of so much."""
MOST_STEPS: Final = 60
AT_ONCE: Final = 12
"""Steps tried in one batch."""
BEARS: Final = 0.08
"""Of its working load a line carries at least, once it is heaved: then it helps to hold the ship."""

Which = Callable[[Hold], NDArray[np.bool_]]


@dataclass(frozen=True, slots=True, eq=False)
class DeedMetres:
    """One instant (`situation` has one row, whose wind blows) with the lengths that are out, m (lines,)."""

    basis: Basis
    situation: Situation
    lengths: Floats

    def to_slack(self, line: str, bollard: str = "") -> float:
        """Return the least metres, in whole steps, that bring a line just below the cautions of stretch, load
        and brake, and a bollard below its own; where that is not reached, as far as the line stays taut; NaN
        where nothing is known."""
        limits, taut = self.basis.stay.limits, _last(self.basis.stay.limits.slack_share.as_tuple())
        column = self.column(line)

        def good(tried: Hold) -> NDArray[np.bool_]:
            below = self._nearness(tried, [line]) < 1.0
            if bollard:
                below &= self._bollard(tried, bollard) < _first(limits.bollard_share.as_tuple())
            return below

        return self._least([line], 1.0, good, lambda tried: tried.lines.load_share[:, column] > taut)

    def to_heave(self, lines: Sequence[str]) -> float:
        """Return the least metres by which all of these lines are heaved until each bears a part, as far as
        none comes to a caution; NaN where not one step is."""
        columns = [self.column(line) for line in lines]

        def good(tried: Hold) -> NDArray[np.bool_]:
            return np.asarray((tried.lines.load_share[:, columns] >= BEARS).all(axis=1))

        return self._least(lines, -1.0, good, lambda tried: self._nearness(tried, lines) < 1.0)

    def to_heave_onto_fenders(self, lines: Sequence[str]) -> float:
        """Return the metres by which these lines are heaved evenly to bring her onto her fenders, or as near
        as they can while each stays under its warning; NaN where not one step does."""
        most = _first(self.basis.stay.limits.off_fenders_m.as_tuple())

        def good(tried: Hold) -> NDArray[np.bool_]:
            return np.asarray(standing_off(self.basis.arrangement, tried.pose) < most)

        return self._least(lines, -1.0, good, lambda tried: self._nearness(tried, lines, 1) < 1.0)

    def changed(self, moves: Mapping[str, Floats]) -> Floats:
        """Return lengths (k, lines) with k metres paid out of each of some lines."""
        lengths = np.tile(self.lengths, (len(next(iter(moves.values()))), 1))
        for line, metres in moves.items():
            lengths[:, self.column(line)] += metres
        return lengths

    def column(self, line: str) -> int:
        """Return the column of a line."""
        return self.basis.arrangement.ids.index(line)

    def _least(self, lines: Sequence[str], way: float, good: Which, allowed: Which) -> float:
        """Return the least metres that are good, of those before the first that is not allowed; the most of
        these where none is good; NaN where there are none."""
        best = nan
        if why_unknown(self.situation)[0] != NoAnswer.ANSWERED or not lines:
            return best
        here = self.situation.at(np.zeros(AT_ONCE, dtype=np.intp))
        for first in range(1, MOST_STEPS, AT_ONCE):
            metres: Floats = STEP_M * np.arange(first, first + AT_ONCE, dtype=np.float64)
            tried = hold(self.basis.arrangement, here, self.changed(dict.fromkeys(lines, way * metres)))
            for step, may, does in zip(metres.tolist(), allowed(tried), good(tried), strict=True):
                if not may:
                    return best
                best = round(float(step), 2)
                if does:
                    return best
        return best

    def _nearness(self, tried: Hold, lines: Sequence[str], stage: int = 0) -> Floats:
        """Return (k,) how near the nearest of some lines is to its limit of a stage, of stretch, load and
        brake; 1 where one is reached, NaN where nothing is known."""
        limits, shares = self.basis.stay.limits, []
        for column in map(self.column, lines):
            shares += [
                tried.lines.stretch_share[:, column] / limits.stretch_share.as_tuple()[stage],
                tried.lines.load_share[:, column] / limits.load_share.as_tuple()[stage],
                self._brake(tried, column) / limits.brake_share.as_tuple()[stage],
            ]
        nearest: Floats = np.fmax.reduce(np.array(shares))
        return nearest

    def _brake(self, tried: Hold, column: int) -> Floats:
        share: Floats = tried.lines.tension_kn[:, column] / self.basis.arrangement.brake_kn[column]
        return share

    def _bollard(self, tried: Hold, bollard: str) -> Floats:
        arrangement = self.basis.arrangement
        at = arrangement.bollard_ids.index(bollard)
        load = bollard_loads(arrangement, tried.lines, ~np.isnan(tried.lines.tension_kn))
        share: Floats = load[:, at] / arrangement.bollard_swl_kn[at]
        return share


def _first(limits: tuple[float, float, float]) -> float:
    """Return the limit of the first stage used of a cause of which more is worse; infinite for none."""
    return min((each for each in limits if isfinite(each)), default=np.inf)


def _last(limits: tuple[float, float, float]) -> float:
    """Return the limit of the first stage used of a cause of which less is worse; 0 for none."""
    return max((each for each in limits if isfinite(each)), default=0.0)
