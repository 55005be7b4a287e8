"""By how much to slack or heave: lengths changed step by step, the mechanics solved again."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import isfinite, nan
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.basis import Basis
from alongside.mechanics.bollards import bollard_loads
from alongside.mechanics.hold import hold, standing_off, why_unknown
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Floats

STEP_M: Final = 0.05
"""Deeds are in steps of so much."""
MOST_STEPS: Final = 60
SETTLES: Final = 4
"""Times that a length is sought with which a line carries what its cell measures: she gives way a little."""
AT_ONCE: Final = 12
"""Steps tried in one batch."""
BEARS: Final = 0.08
"""Of its working load a line carries at least, once it is heaved: then it helps to hold the ship."""

SOON_S: Final = 3600.0
"""A line that comes to bear by itself so soon is left alone; common practice, no source."""

Which = Callable[[Hold], NDArray[np.bool_]]


@dataclass(frozen=True, eq=False)
class DeedMetres:
    """One instant (`situation` has one row, whose wind blows) with the lengths that are out, m (lines,).
    Metres are good only if they are so in every state that may be."""

    basis: Basis
    situation: Situation
    lengths: Floats
    if_slipped: Floats | None = None
    """The lengths if brakes in question slipped; None where none is in question."""
    cell_kn: Floats | None = None
    """(lines,) loads by good cells, kN, NaN for a line without one; None where there is none."""

    @cached_property
    def _starts(self) -> tuple[Floats, ...]:
        """Return the lengths of each state, from which a line steps that carries what counts: where its cell
        measures more than is computed for its length, it is as much shorter as that takes."""
        states = [self.lengths] if self.if_slipped is None else [self.lengths, self.if_slipped]
        return tuple(self._by_cells(lengths) for lengths in states)

    def _by_cells(self, lengths: Floats) -> Floats:
        arrangement, cells = self.basis.arrangement, self.cell_kn
        if cells is None:
            return lengths
        shorter = lengths.copy()
        for _ in range(SETTLES):
            here = hold(arrangement, self.situation, shorter)
            more = cells > here.lines.tension_kn[0]
            if not more.any():
                break
            carrying = unstretched_for(arrangement, here.pose, np.where(more, cells, np.nan))[0]
            shorter = np.where(more & (carrying > 0.0), carrying, shorter)
        return shorter

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
        return self._least(lines, -1.0, self._bear(lines), lambda tried: self._nearness(tried, lines) < 1.0)

    def to_heave_for(self, lines: Sequence[str], coming: Situation) -> float:
        """Return the same with what is `coming` (1 + k rows, the first of now), in all of which the lines are
        to stay short of a caution; 0 where they bear by themselves within an hour."""
        each, bear = len(coming), self._bear(lines)
        soon = coming.time <= coming.time[0] + SOON_S
        as_they_are = [bear(hold(self.basis.arrangement, coming, of)) for of in self._starts]
        if all(bool(bears[soon].any()) for bears in as_they_are):
            return 0.0

        def good(tried: Hold) -> NDArray[np.bool_]:
            return bear(tried).reshape(-1, each)[:, 0]

        def allowed(tried: Hold) -> NDArray[np.bool_]:
            return np.asarray((self._nearness(tried, lines).reshape(-1, each) < 1.0).all(axis=1))

        return self._least(lines, -1.0, good, allowed, coming)

    def _bear(self, lines: Sequence[str]) -> Which:
        columns = [self.column(line) for line in lines]
        return lambda tried: np.asarray((tried.lines.load_share[:, columns] >= BEARS).all(axis=1))

    def to_heave_onto_fenders(self, lines: Sequence[str]) -> float:
        """Return the metres by which these lines are heaved evenly to bring her onto her fenders, or as near
        as they can while each stays under its warning; NaN where not one step does."""
        most = _first(self.basis.stay.limits.off_fenders_m.as_tuple())

        def good(tried: Hold) -> NDArray[np.bool_]:
            return np.asarray(standing_off(self.basis.arrangement, tried.pose) < most)

        return self._least(lines, -1.0, good, lambda tried: self._nearness(tried, lines, 1) < 1.0)

    def changed(self, moves: Mapping[str, Floats], of: Floats | None = None) -> Floats:
        """Return lengths (k, lines) with k metres paid out of each of some lines, `of` the lengths of one
        state, by default those that are out."""
        lengths = np.tile(self.lengths if of is None else of, (len(next(iter(moves.values()))), 1))
        for line, metres in moves.items():
            lengths[:, self.column(line)] += metres
        return lengths

    def column(self, line: str) -> int:
        """Return the column of a line."""
        return self.basis.arrangement.ids.index(line)

    def _least(
        self, lines: Sequence[str], way: float, good: Which, allowed: Which, coming: Situation | None = None
    ) -> float:
        """Return the least metres that are good, of those before the first that is not allowed; the most of
        these where none is good; NaN where there are none. Each is tried at the instant, or at all rows of
        `coming`."""
        best = nan
        if why_unknown(self.situation)[0] != NoAnswer.ANSWERED or not lines:
            return best
        rows = self.situation if coming is None else coming
        here = rows.at(np.tile(np.arange(len(rows)), AT_ONCE))
        for first in range(1, MOST_STEPS, AT_ONCE):
            metres: Floats = STEP_M * np.arange(first, first + AT_ONCE, dtype=np.float64)
            moves = dict.fromkeys(lines, way * np.repeat(metres, len(rows)))
            tried = [hold(self.basis.arrangement, here, self.changed(moves, of)) for of in self._starts]
            may_be, do = (np.all([which(each) for each in tried], axis=0) for which in (allowed, good))
            for step, may, does in zip(metres.tolist(), may_be, do, strict=True):
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
