"""Tending rounds: the fewest rounds on deck that keep every line in its band, and what no tending cures.

Bands say, for each line at each sample, which unstretched lengths of main rope serve there
(`console.outlook.bands`). Lengths change only in a round; a length made at sample k is in force from k on.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from console.outlook.lengths import Run, bands_between, lengths_of_runs, runs_of_line
from console.outlook.limited import starts_with_largest_move
from console.outlook.reach import TOLERANCE, common_band, first_failure, reach_of, runs_of
from console.outlook.schedule import Clock, Schedule, clock_of, schedule
from console.outlook.tending_plan import NO_LIMITS, CannotCure, Crew, Move, Plan, Round
from console.outlook.tending_problem import Problem, opened, problem_of
from console.readings import Floats

MOST_OUTPACED: Final = 20
"""Spells that no rounds can follow after which planning stops: such a berth wants other lines, not rounds."""


def plan_rounds(time: Floats, lo: Floats, hi: Floats, present: Floats, crew: Crew = NO_LIMITS) -> Plan:
    """The fewest rounds over samples `time` (m,), UNIX s rising, for bands `lo`, `hi` (m, n) and `present`
    lengths (n,), m.

    A line whose present length or whose whole band is not known (NaN) is left alone; from the first sample
    at which a band of the others is not known nothing is planned.
    """
    ours = ~np.isnan(present) & ~np.isnan(lo + hi).all(axis=0)
    problem = problem_of(time, lo[:, ours], hi[:, ours], present[ours], crew.margin)
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
    while found.outpaced and len(outpaced) < MOST_OUTPACED:
        outpaced += found.outpaced
        for each in found.outpaced:
            problem = opened(problem, each.line, each.time, each.until)
        found = _solve_for_crew(problem, crew)
    cannot_cure = sorted((*problem.empty, *_joined(outpaced)), key=lambda each: (each.time, each.line))
    return replace(found.plan, cannot_cure=tuple(cannot_cure), at_least=found.at_least)


def _joined(outpaced: Sequence[CannotCure]) -> list[CannotCure]:
    """Spells of one line that meet, as one."""
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
    """Try durations from that of a round of one line on, until no round takes longer than it was given."""
    durations = sorted({crew.duration(lines) for lines in range(1, problem.present.size + 1)})
    shortest = found = _solve_with(problem, crew, durations[0])
    for duration in durations[1:]:
        if all(each.duration_s <= found.duration for each in found.plan.rounds):
            break
        found = _solve_with(problem, crew, duration)
    return replace(found, at_least=shortest.at_least if shortest.serves == found.serves else 0)


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """A plan in which every round lasts `duration`, and how many rounds any such plan has at least."""

    plan: Plan
    duration: float
    serves: int
    at_least: int
    outpaced: list[CannotCure]


def _solve_with(problem: Problem, crew: Crew, duration: float) -> _Found:
    clock = clock_of(problem.time, duration, crew.gap_s)
    present = first_failure(problem.lo, problem.hi, problem.present)
    reach = reach_of(runs_of(problem.lo, problem.hi))
    when = schedule(reach, present, clock) if duration < math.inf else Schedule((), (), present)
    at_least = when.rounds
    runs = _runs_of_all(problem, when, clock, crew.largest_move)
    if runs is None:
        when, proved = starts_with_largest_move(problem, reach, clock, crew.largest_move)
        at_least = when.rounds if proved else at_least
        runs = _runs_of_all(problem, when, clock, crew.largest_move)
    if runs is None:
        raise AssertionError("starts found with a largest move leave a line without a way")
    plan = _as_plan(problem, crew, clock, when, runs)
    return _Found(plan, duration, when.serves, at_least, _outpaced(problem, clock, when, plan.lengths))


def _runs_of_all(
    problem: Problem, when: Schedule, clock: Clock, largest: float
) -> list[tuple[Run, ...]] | None:
    """The runs of each line for the latest starts; None where some line has no way."""
    bands = bands_between(problem.lo[: when.serves], problem.hi[: when.serves], when.latest, clock.done)
    runs = []
    for line, present in enumerate(problem.present):
        found = runs_of_line(bands, line, float(present), largest)
        if found is None:
            return None
        runs.append(found)
    return runs


def _as_plan(
    problem: Problem, crew: Crew, clock: Clock, when: Schedule, runs: Sequence[tuple[Run, ...]]
) -> Plan:
    """The plan in words of time and metres."""
    made = np.tile(problem.present, (when.rounds + 1, 1))
    for line, (own, present) in enumerate(zip(runs, problem.present, strict=True)):
        for run, length in zip(own, lengths_of_runs(own, float(present), crew.largest_move), strict=True):
            made[run.begin + 1 : run.end + 1, line] = length
    of_sample = np.searchsorted(when.latest, np.arange(len(problem.time)), side="right")
    lengths = made[of_sample]
    part = slice(0, when.serves)
    clear = np.minimum(lengths - problem.true_lo, problem.true_hi - lengths)[part]
    return Plan(
        rounds=tuple(_round(problem, crew, clock, when, made, j) for j in range(when.rounds)),
        cannot_cure=(),
        lengths=lengths,
        good_until=_good_until(problem, lengths),
        margin=float(clear.min()) if clear.size else float("nan"),
        at_least=0,
    )


def _round(problem: Problem, crew: Crew, clock: Clock, when: Schedule, made: Floats, j: int) -> Round:
    """Round j: `made` (rounds + 1, n) are the lengths before the first and after each round."""
    start, time = when.latest[j], problem.time
    moved = np.flatnonzero(made[j + 1] != made[j])
    until = [_next_move(made, j, int(line), when, clock) for line in moved]
    moves = []
    for line, end in zip(moved, until, strict=True):
        low, high = common_band(problem.true_lo[:, [line]], problem.true_hi[:, [line]], start, end)
        length = float(made[j + 1, line])
        moves.append(Move(int(line), length - float(made[j, line]), length, float(low[0]), float(high[0])))
    serves = (problem.true_lo <= made[j + 1] + TOLERANCE) & (made[j + 1] - TOLERANCE <= problem.true_hi)
    failed_before = np.flatnonzero(~serves[:start][:, moved].all(axis=1))
    fails = start + int(np.argmin(np.append(serves[start:].all(axis=1), False)))
    return Round(
        not_before=float(time[when.earliest[j]]),
        latest=float(time[start]),
        lengths_from=float(time[failed_before[-1] + 1 if failed_before.size else 0]),
        serves_until=float(time[max(fails - 1, start)]),
        duration_s=crew.duration(len(moves)),
        moves=tuple(moves),
        overdue=start == 0 and first_failure(problem.true_lo[:1], problem.true_hi[:1], problem.present) == 0,
    )


def _next_move(made: Floats, j: int, line: int, when: Schedule, clock: Clock) -> int:
    """The sample up to which the length made in round j has to serve."""
    later = [k for k in range(j + 1, when.rounds) if made[k + 1, line] != made[k, line]]
    return int(clock.done[when.latest[later[0]]]) if later else when.serves


def _good_until(problem: Problem, lengths: Floats) -> float:
    """The last instant up to which no line leaves its band; NaN where one is out of it from the beginning."""
    out = (lengths < problem.given_lo - TOLERANCE) | (lengths > problem.given_hi + TOLERANCE)
    first = int(np.argmax(np.append(out.any(axis=1), True)))
    return float(problem.time[first - 1]) if first else float("nan")


def _outpaced(problem: Problem, clock: Clock, when: Schedule, lengths: Floats) -> list[CannotCure]:
    """Lines that rounds cannot follow where the plan ends before its time, until the next round might be, and
    the metres they would need."""
    at, m = when.serves, len(problem.time)
    if at >= m:
        return []
    since = when.latest[-1] if when.rounds else at
    low, high = common_band(problem.lo, problem.hi, since, at + 1)
    missing = low - high
    if not (missing > TOLERANCE).any():
        missing = np.maximum(problem.lo[at] - lengths[at], lengths[at] - problem.hi[at])
    end = min(max(int(clock.next[since]), at + 1), m) if when.rounds else m
    begin, until = float(problem.time[at]), float(problem.time[end - 1])
    return [
        CannotCure(int(line), begin, until, float(missing[line]), "pace")
        for line in np.flatnonzero(missing > TOLERANCE)
    ]
