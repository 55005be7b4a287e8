"""Tending rounds: the fewest rounds on deck that keep every line in its band, and what no tending cures.

Bands say, for each line at each sample, which unstretched lengths of main rope serve there
(`alongside.forecast.rounds.length_bands`). Lengths change only in a round; a length made at sample k is in
force from k on.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.forecast.rounds.bands_ready import Barrier, Problem, bounded, opened, problem_of
from alongside.forecast.rounds.how_long_lengths_serve import TOLERANCE, first_failure, reach_of, runs_of
from alongside.forecast.rounds.largest_move import starts_with_largest_move
from alongside.forecast.rounds.plan import NO_LIMITS, CannotCure, Crew, Plan
from alongside.forecast.rounds.plan_result import as_plan, done_of, outpaced_lines
from alongside.forecast.rounds.round_lengths import Run, bands_between, runs_of_line
from alongside.forecast.rounds.round_starts import Clocks, Schedule, clock_of, schedule
from alongside.readings import Floats

MOST_OUTPACED: Final = 20
"""Times that bands run away from rounds after which planning stops: such a berth wants other lines."""
MOST_TRIES: Final = 20
"""Times that rounds are given longer before all are given the time that all lines take."""


def plan_together(
    time: Floats,
    lo: Floats,
    hi: Floats,
    present: Floats,
    crew: Crew = NO_LIMITS,
    barriers: Sequence[Barrier] = (),
) -> Plan:
    """Return the fewest rounds, each as long as all its lines take, over samples `time` (m,), UNIX s rising,
    for bands `lo`, `hi` (m, n) and `present` lengths (n,), m.

    A line whose present length or whose whole band is not known (NaN) is left alone; from the first sample
    at which a band of the others is not known nothing is planned.
    """
    ours = ~np.isnan(present) & ~np.isnan(lo + hi).all(axis=0)
    problem = problem_of(time, lo[:, ours], hi[:, ours], present[ours], crew.margin, barriers)
    solved = _solve(problem, crew)
    if crew.margin > 0.0 and any(each.why == "pace" for each in solved.cannot_cure):
        problem = problem_of(time, lo[:, ours], hi[:, ours], present[ours], 0.0, barriers)
        solved = _solve(problem, crew)
    columns = np.flatnonzero(ours)
    lengths = np.full(lo.shape, np.nan)
    lengths[: len(problem.time), ours] = solved.lengths
    return replace(
        solved,
        lengths=lengths,
        rounds=tuple(
            replace(each, moves=tuple(replace(move, line=int(columns[move.line])) for move in each.moves))
            for each in solved.rounds
        ),
        cannot_cure=tuple(replace(each, line=int(columns[each.line])) for each in solved.cannot_cure),
    )


def _solve(problem: Problem, crew: Crew) -> Plan:
    """Plan; where nothing follows the bands, say so, open them there and plan on."""
    if not len(problem.time) or not problem.present.size:
        return Plan((), problem.empty, np.empty(problem.lo.shape), np.nan, np.nan, 0)
    outpaced: list[CannotCure] = []
    found = _solve_for_crew(problem, crew)
    for _ in range(MOST_OUTPACED):
        if not found.outpaced:
            break
        outpaced += found.outpaced
        for each in found.outpaced:
            problem = opened(problem, each.line, each.time, each.until)
        found = _solve_for_crew(problem, crew)
    outpaced += _left_over(problem, found)
    cannot_cure = sorted((*problem.empty, *_joined(outpaced)), key=lambda each: (each.time, each.line))
    return replace(found.plan, cannot_cure=tuple(cannot_cure), at_least=found.at_least)


def _left_over(problem: Problem, found: "_Found") -> list[CannotCure]:
    """Return lines that leave their bands where planning has stopped, to the end of the forecast."""
    rest = slice(found.serves, None)
    lengths = found.plan.lengths[rest]
    missing = np.maximum(problem.true_lo[rest] - lengths, lengths - problem.true_hi[rest])
    last = float(problem.time[-1])
    return [
        CannotCure(int(line), float(problem.time[rest][out[0]]), last, float(missing[:, line].max()), "pace")
        for line in np.flatnonzero((missing > TOLERANCE).any(axis=0))
        for out in [np.flatnonzero(missing[:, line] > TOLERANCE)]
    ]


def _joined(outpaced: Sequence[CannotCure]) -> list[CannotCure]:
    """Return spells of one line that meet, as one."""
    joined: list[CannotCure] = []
    for each in sorted(outpaced, key=lambda each: (each.line, each.time)):
        last = joined[-1] if joined else None
        if last and last.line == each.line and each.time <= last.until:
            missing = max(last.missing_m, each.missing_m)
            joined[-1] = replace(last, until=max(last.until, each.until), missing_m=missing)
        else:
            joined.append(each)
    return joined


def _solve_for_crew(problem: Problem, crew: Crew) -> "_Found":
    """Return the plan in which no round takes longer than it was given: first the time of one line each, and
    where one has to move more lines, the time that it takes.

    No plan has fewer rounds than that of the first try; a later one of as many is therefore the fewest.
    """
    shortest = found = _solve_with(problem, crew, [crew.duration(1)])
    for _ in range(MOST_TRIES):
        given = [*found.durations, *[found.durations[-1]] * len(found.needed)]
        if all(need <= have for need, have in zip(found.needed, given, strict=False)):
            break
        longer = [max(pair) for pair in zip(found.needed, given, strict=False)]
        found = _solve_with(problem, crew, [*longer, crew.duration(1)])
    else:
        found = _solve_with(problem, crew, [crew.duration(problem.present.size)])
    return replace(found, at_least=shortest.at_least if shortest.serves == found.serves else 0)


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """A plan in which rounds last `durations` in turn, those beyond the last as the last, and how many rounds
    any such plan has at least. `needed`: what each of them lasts by its lines, 0 for one without."""

    plan: Plan
    durations: list[float]
    needed: list[float]
    serves: int
    at_least: int
    outpaced: list[CannotCure]


def _solve_with(problem: Problem, crew: Crew, durations: list[float]) -> _Found:
    clocks = Clocks(tuple(clock_of(problem.time, duration, crew.gap_s, crew.busy) for duration in durations))
    present = first_failure(problem.lo, problem.hi, problem.present)
    present, reach = bounded(problem, present, reach_of(runs_of(problem.lo, problem.hi)))
    possible = durations[0] < math.inf
    when = schedule(reach, present, clocks) if possible else Schedule((), (), present)
    at_least = when.rounds
    runs = _runs_of_all(problem, when, clocks, crew.largest_move)
    if runs is None:
        when, proved = starts_with_largest_move(problem, (present, reach), clocks, crew.largest_move)
        at_least = when.rounds if proved else at_least
        runs = _runs_of_all(problem, when, clocks, crew.largest_move)
    if runs is None:
        raise AssertionError("starts found with a largest move leave a line without a way")
    plan = as_plan(problem, crew, clocks, when, runs)
    lasts = {each.latest: each.duration_s for each in plan.rounds}
    needed = [lasts.get(float(problem.time[start]), 0.0) for start in when.latest]
    outpaced = outpaced_lines(problem, clocks, when, plan.lengths)
    return _Found(plan, durations, needed, when.serves, at_least, outpaced)


def _runs_of_all(
    problem: Problem, when: Schedule, clocks: Clocks, largest: float
) -> list[tuple[Run, ...]] | None:
    """Return the runs of each line for the latest starts; None where some line has no way."""
    served = slice(0, when.serves)
    bands = bands_between(problem.lo[served], problem.hi[served], when.latest, done_of(when, clocks))
    runs = []
    for line, present in enumerate(problem.present):
        found = runs_of_line(bands, line, float(present), largest)
        if found is None:
            return None
        runs.append(found)
    return runs
