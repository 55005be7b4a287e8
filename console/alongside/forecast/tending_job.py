"""What tending rounds are made from, and how a plan is checked: bands of the cases, rounds, the mechanics.

Bands belong to the paths at hand; where she lies in balance, tending one line moves her and with her all
paths. So a plan is run, bands are taken anew from the paths found with it, and the plan is made anew, until
it holds; what still fails after that is named.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import Expected
from alongside.forecast.first_times import EARLY, LATE, quantile
from alongside.forecast.members import Members, Outside, by_ropes
from alongside.forecast.model import Incurable
from alongside.forecast.present import Present
from alongside.forecast.rounds.bands_ready import Barrier
from alongside.forecast.rounds.length_bands import Within, bands, tensions_within
from alongside.forecast.rounds.plan import Crew, Plan
from alongside.forecast.rounds.rounds_apart import plan_rounds
from alongside.forecast.rounds.whole_steps import ROOM, Bands, in_centimetres, on_deck
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.state import Hold
from alongside.readings import Floats

MOST_RUNS: Final = 6
TOLERANCE_KN: Final = 1e-3
GIVEN_AWAY: Final = 0.25
"""Of a band as expected that is given away at either end to what may come."""
SOME: Final = 12
"""Members that a plan is made with where she lies in balance; all of them judge the last one."""


@dataclass(frozen=True, slots=True, eq=False)
class Ends:
    """Bands (m, lines) that a plan is made for, and those as expected, with nothing given away."""

    bands: Bands
    expected: Bands


@dataclass(frozen=True, slots=True, eq=False)
class Job:
    """What a plan is made from and checked against."""

    basis: Basis
    present: Present
    expected: Expected
    within: Within
    crew: Crew
    given_away: float = GIVEN_AWAY
    members: int | None = None
    """Cases that judge a plan; None: all."""

    @property
    def arrangement(self) -> Arrangement:
        return self.basis.arrangement

    def ends_of(self, held: Members) -> Ends:
        """Return (m, lines) bands that serve 90 % of the members, as far as that leaves half of the band of
        what is expected: a plan that would serve whatever may come can ask for a round every quarter of an
        hour. The first instant is now, and its band the one expected. A line whose brake is in question has
        none: it waits for the answer; nor has one on an automatic winch, which tends itself."""
        waits = np.isin(self.arrangement.ids, self.present.asked)
        if self.arrangement.automatic is not None:
            waits |= ~np.isnan(self.arrangement.automatic[0])
        parts = held.through(self._bands_of)
        lo, hi, late, early = (np.concatenate(arrays) for arrays in zip(*parts, strict=True))
        most = np.maximum(hi - lo, 0.0) * self.given_away
        most[0] = 0.0
        raised, lowered = np.clip(late - lo, 0.0, most), np.clip(hi - early, 0.0, most)
        return Ends(_without(lo + raised, hi - lowered, waits), _without(lo, hi, waits))

    def _bands_of(self, _rows: slice, here: Expected, block: Hold) -> tuple[Floats, ...]:
        """Return (m, lines) bands of what is expected, the lower end that serves 90 % of the members, and the
        upper one."""
        shape = -1, here.time.size, len(self.arrangement.ids)
        lo, hi = self._bands(block.lines.path_m.reshape(shape), block.lines.level_m.reshape(shape))
        return lo[0].copy(), hi[0].copy(), quantile(lo, LATE), quantile(hi, EARLY)

    def _bands(self, path: Floats, level: Floats) -> tuple[Floats, Floats]:
        """Return the bands (members, m, lines) of main rope of the stay's own, m, with the ropes of each
        member."""
        lo, hi = np.empty(path.shape), np.empty(path.shape)
        for ropes, mine in by_ropes(self.basis, len(path)):
            least, most = bands(ropes.arrangement, path[mine], self.within, level[mine])
            lo[mine] = np.where(least > 0.0, np.maximum(ropes.own_lengths(least), 0.0), least)
            hi[mine] = ropes.own_lengths(most)
        return lo, hi

    def plan(self, ends: Ends, barriers: Sequence[Barrier] = ()) -> Plan:
        """Return the fewest rounds; of as few, those that leave room to round the moves."""
        time, (lo, hi), crew = self.expected.time, ends.bands, self.crew
        fewest = plan_rounds(time, lo, hi, self.present.unstretched, crew, barriers)
        best = fewest
        if fewest.rounds and crew.margin < ROOM:
            room = replace(crew, margin=ROOM)
            roomy = plan_rounds(time, lo, hi, self.present.unstretched, room, barriers)
            if len(roomy.rounds) == len(fewest.rounds) and _not_cured(roomy) == _not_cured(fewest):
                best = replace(roomy, at_least=fewest.at_least)
        return in_centimetres(on_deck(best, time, ends.bands, ends.expected, crew), time, crew)

    def run(self, lengths: Floats, members: int | None = None) -> Members:
        """Return the state with lengths (m, lines) as they would be tended."""
        return Members(self.basis, self.expected, self.tended(lengths), members)

    def tended(self, lengths: Floats) -> Floats:
        """Return lengths (m, lines) of a plan; the present ones where it has none."""
        return np.where(np.isnan(lengths), self.present.unstretched, lengths)

    def outside(self, held: Members) -> Outside:
        """Return how lengths miss their bands."""
        if held.outside is None or held.outside[0] != self.within:
            parts = [np.nan_to_num(each) for each in held.through(self._outside_of)]
            missed = np.concatenate([each[0] for each in parts])
            held.outside = self.within, (missed, np.concatenate([each > 0.0 for each in parts], axis=1))
        return held.outside[1]

    def _outside_of(self, _rows: slice, here: Expected, block: Hold) -> Floats:
        """Return m by which each length misses its band (members, m, lines); 0 inside, NaN if not known."""
        shape = -1, here.time.size, len(self.arrangement.ids)
        lines = block.lines
        path, level, length, tension = (
            each.reshape(shape)
            for each in (lines.path_m, lines.level_m, lines.unstretched_m, lines.tension_kn)
        )
        out = np.empty(path.shape)
        for ropes, mine in by_ropes(self.basis, len(path)):
            lo, hi = bands(ropes.arrangement, path[mine], self.within, level[mine])
            least, most = tensions_within(ropes.arrangement, self.within)
            out[mine] = np.maximum(np.maximum(lo - length[mine], length[mine] - hi), 0.0)
            inside = (tension[mine] <= most + TOLERANCE_KN) & (tension[mine] >= least - TOLERANCE_KN)
            out[mine] = np.where(inside, 0.0, out[mine])
        return out

    def excused(self, plan: Plan) -> np.ndarray:
        """Return (m, lines) where the plan says itself that it does not serve, or its first round is still to
        do."""
        excused = np.isnan(plan.lengths)
        for each in plan.cannot_cure:
            spell = (self.expected.time >= each.time) & (self.expected.time <= each.until)
            excused[spell, each.line] = True
        if plan.rounds and plan.rounds[0].overdue:
            first = plan.rounds[0]
            begun = self.expected.time <= first.latest + first.duration_s
            excused[np.ix_(begun, np.arange(excused.shape[1]))] = True
        return excused

    def failing(self, plan: Plan, run: Members) -> tuple[Incurable, ...]:
        """Return lines that leave their bands although the plan is followed, as expected."""
        out = np.where(self.excused(plan), 0.0, self.outside(run)[0])
        found = []
        for line in np.flatnonzero((out > 0.0).any(axis=0)):
            rows = np.flatnonzero(out[:, line])
            time, until = float(self.expected.time[rows[0]]), float(self.expected.time[rows[-1]])
            name = self.arrangement.ids[line]
            found.append(Incurable(name, time, until, float(out[:, line].max()), "together"))
        return tuple(found)

    def that_hold(self, plan: Plan, run: Members) -> np.ndarray:
        """Return (members, m) whether up to then no line has left its band, but where the plan says so
        itself."""
        beyond = self.outside(run)[1] & ~self.excused(plan)
        holds: np.ndarray = np.logical_and.accumulate(~beyond.any(axis=2), axis=1)
        return holds

    def missing(self, plan: Plan, run: Members) -> float:
        """Return the metres by which the lines miss their bands as expected, the worst of each added up."""
        return sum(each.missing_m for each in self.failing(plan, run))

    def until_it_holds(self, ends: Ends, barriers: Sequence[Barrier] = ()) -> "Tried":
        """Return a plan that holds as expected when the mechanics are run with it; the one that failed least
        where none does. The run is with all members."""
        plan = self.plan(ends, barriers)
        run = self.run(plan.lengths, self.members)
        best = Tried(plan, run, ends, self.missing(plan, run))
        if not self.arrangement.balanced or best.missing <= 0.0:
            return best
        tight = np.zeros(len(self.arrangement.ids))
        for _ in range(MOST_RUNS):
            ends = self.ends_of(run)
            ends = replace(ends, bands=_closed(*ends.bands, tight))
            plan = self.plan(ends, barriers)
            run = self.run(plan.lengths, self.members or SOME)
            one = Tried(plan, run, ends, self.missing(plan, run))
            best = one if one.missing < best.missing else best
            out = np.where(self.excused(plan), 0.0, self.outside(run)[0]).max(axis=0)
            tight = tight + np.where(out > 0.0, out + 0.01, 0.0)
            if best.missing <= 0.0:
                break
        return replace(best, run=self.run(best.plan.lengths, self.members))


@dataclass(frozen=True, slots=True, eq=False)
class Tried:
    """A plan, the state with it, the bands it was made for, and the metres it misses them by."""

    plan: Plan
    run: Members
    ends: Ends
    missing: float


def _without(lo: Floats, hi: Floats, lines: np.ndarray) -> Bands:
    """Return bands (m, lines) that are not known for some lines."""
    return np.where(lines, np.nan, lo), np.where(lines, np.nan, hi)


def _not_cured(plan: Plan) -> list[tuple[int, str]]:
    """Return what a plan does not cure, line by line."""
    return sorted((each.line, each.why) for each in plan.cannot_cure)


def _closed(lo: Floats, hi: Floats, metres: Floats) -> Bands:
    """Return bands narrower by so much at either end, but never past their middle."""
    taken = np.clip(metres, 0.0, np.maximum(hi - lo, 0.0) / 2.0)
    return lo + taken, hi - taken
