"""Rounds against margin: how much more clear of their bands lines stay for one more round on deck."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.forecast.rounds.bands_ready import Problem, problem_of
from alongside.forecast.rounds.how_long_lengths_serve import Runs, first_failure, reach_of, runs_of
from alongside.forecast.rounds.plan import NO_LIMITS, Crew, Plan
from alongside.forecast.rounds.round_lengths import STEPS
from alongside.forecast.rounds.round_starts import Clock, Clocks, clock_of, schedule
from alongside.forecast.rounds.rounds_apart import plan_rounds
from alongside.readings import Floats

HALVINGS: Final = 12


@dataclass(frozen=True, slots=True, eq=False)
class Choice:
    """So many rounds, the greatest margin m that they can keep, and a plan that keeps it but for the rounding
    of its moves."""

    rounds: int
    margin: float
    plan: Plan


def rounds_against_margin(
    time: Floats, lo: Floats, hi: Floats, present: Floats, crew: Crew = NO_LIMITS, more: int = 2
) -> list[Choice]:
    """Return the fewest rounds and up to `more` above them, each with its greatest margin; more rounds that
    gain nothing are left out. Arguments as of `plan_rounds`; the margin is sought without the largest
    move, its plan keeps to it. Where rounds cannot follow the bands there is no choice: []."""
    plan = plan_rounds(time, lo, hi, present, replace(crew, margin=0.0))
    ours = ~np.isnan(plan.lengths).all(axis=0)
    problem = problem_of(time, lo[:, ours], hi[:, ours], present[ours], 0.0)
    if not len(problem.time) or any(each.why == "pace" for each in plan.cannot_cure):
        return []
    longest = max((each.duration_s for each in plan.rounds), default=0.0)
    clock = clock_of(problem.time, longest, crew.gap_s)
    search = _Search(problem, runs_of(problem.lo, problem.hi), clock)
    choices: list[Choice] = []
    for rounds in range(len(plan.rounds), len(plan.rounds) + more + 1):
        margin = search.greatest_margin(rounds)
        if not choices or margin > choices[-1].margin + STEPS[-1] / 2.0:
            wanted = replace(crew, margin=max(margin - STEPS[0] / 2.0, margin / 2.0))
            choices.append(Choice(rounds, margin, plan_rounds(time, lo, hi, present, wanted)))
    return choices


@dataclass(frozen=True, slots=True, eq=False)
class _Search:
    """Bands and clock between which a margin is sought."""

    problem: Problem
    runs: Runs
    clock: Clock

    def greatest_margin(self, rounds: int) -> float:
        """Return the greatest margin that so many rounds keep, to 1e-8 m: halved towards, then climbed to."""
        low, high = 0.0, float(np.min(self.problem.hi - self.problem.lo)) / 2.0
        kept = self._kept(low, rounds)
        if kept is None:
            return float("nan")
        for _ in range(HALVINGS):
            if high - low < STEPS[-1] / 10.0:
                break
            middle = (low + high) / 2.0
            found = self._kept(middle, rounds)
            low, high = (low, middle) if found is None else (max(middle, found), high)
            kept = kept if found is None else max(kept, found)
        while (found := self._kept(kept + 1e-8, rounds)) is not None:
            kept = max(found, kept + 1e-8)
        return kept

    def _kept(self, margin: float, rounds: int) -> float | None:
        """Return the margin that the latest starts for `margin` in truth keep; None where so many rounds do
        not."""
        problem, m = self.problem, len(self.problem.time)
        present = first_failure(problem.lo, problem.hi, problem.present, margin)
        when = schedule(reach_of(self.runs, margin), present, Clocks((self.clock,)))
        if when.serves < m or when.rounds > rounds:
            return None
        starts = when.latest
        ends = [int(self.clock.done[start]) for start in starts] + [m]
        clear = [
            float((problem.hi[a:b].min(axis=0) - problem.lo[a:b].max(axis=0)).min()) / 2.0
            for a, b in zip(starts, ends[1:], strict=True)
        ]
        if not starts or starts[0] > 0:
            first = slice(0, ends[0])
            clear.append(float((problem.present - problem.lo[first]).min()))
            clear.append(float((problem.hi[first] - problem.present).min()))
        return min(clear)
