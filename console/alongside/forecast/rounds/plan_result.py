"""What was found, in words of time and metres: rounds, moves, and where bands run away from them."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.rounds.bands_ready import Problem
from alongside.forecast.rounds.how_long_lengths_serve import TOLERANCE, common_band
from alongside.forecast.rounds.plan import CannotCure, Crew, Move, Plan, Round
from alongside.forecast.rounds.round_lengths import Run, lengths_of_runs
from alongside.forecast.rounds.round_starts import Clocks, Schedule
from alongside.readings import Floats


def done_of(when: Schedule, clocks: Clocks) -> list[int]:
    """Return the first sample after each round, started at its latest."""
    return [int(clocks[j].done[start]) for j, start in enumerate(when.latest)]


def as_plan(
    problem: Problem, crew: Crew, clocks: Clocks, when: Schedule, runs: Sequence[tuple[Run, ...]]
) -> Plan:
    """Return the plan by times and metres."""
    made = np.tile(problem.present, (when.rounds + 1, 1))
    for line, (own, present) in enumerate(zip(runs, problem.present, strict=True)):
        for run, length in zip(own, lengths_of_runs(own, float(present), crew.largest_move), strict=True):
            made[run.begin + 1 : run.end + 1, line] = length
    of_sample = np.searchsorted(when.latest, np.arange(len(problem.time)), side="right")
    lengths = made[of_sample]
    rounds = [_round(problem, crew, clocks, when, made, j) for j in range(when.rounds)]
    part = slice(0, when.serves)
    clear = np.minimum(lengths - problem.true_lo, problem.true_hi - lengths)[part]
    return Plan(
        rounds=tuple(each for each in rounds if each.moves),
        cannot_cure=(),
        lengths=lengths,
        good_until=_good_until(problem, lengths),
        margin=float(clear.min()) if clear.size else float("nan"),
        at_least=0,
    )


def _round(problem: Problem, crew: Crew, clocks: Clocks, when: Schedule, made: Floats, j: int) -> Round:
    """Return round j: `made` (rounds + 1, n) are the lengths before the first and after each round."""
    start, time = when.latest[j], problem.time
    moves = _moves(problem, clocks, when, made, j)
    moved = [move.line for move in moves]
    serves = _serves(problem, made[j + 1])
    failed_before = np.flatnonzero(~serves[:start][:, moved].all(axis=1))
    fails = start + int(np.argmin(np.append(serves[start:].all(axis=1), False)))
    return Round(
        not_before=float(time[when.earliest[j]]),
        latest=float(time[start]),
        lengths_from=float(time[failed_before[-1] + 1 if failed_before.size else 0]),
        serves_until=float(time[max(fails - 1, start)]),
        duration_s=crew.duration(len(moves)),
        moves=moves,
        overdue=start == 0 and not _serves(problem, problem.present)[: max(int(clocks[j].done[0]), 1)].all(),
    )


def _moves(problem: Problem, clocks: Clocks, when: Schedule, made: Floats, j: int) -> tuple[Move, ...]:
    """Return the moves of round j, the line whose old length fails first at the front."""
    start = when.latest[j]
    fails = np.argmin(np.vstack([_serves(problem, made[j])[start:], np.zeros((1, made.shape[1]))]), axis=0)
    moves = []
    for line in sorted(np.flatnonzero(made[j + 1] != made[j]), key=lambda line: int(fails[line])):
        served = slice(start, _next_move(made, j, int(line), when, clocks))
        low, high = problem.true_lo[served, line].max(), problem.true_hi[served, line].min()
        length = float(made[j + 1, line])
        moves.append(Move(int(line), length - float(made[j, line]), length, float(low), float(high)))
    return tuple(moves)


def _serves(problem: Problem, lengths: Floats) -> NDArray[np.bool_]:
    """Return (m, n) whether lengths (n,) lie in their bands."""
    long_enough = problem.true_lo <= lengths + TOLERANCE
    served: NDArray[np.bool_] = long_enough & (lengths <= problem.true_hi + TOLERANCE)
    return served


def _next_move(made: Floats, j: int, line: int, when: Schedule, clocks: Clocks) -> int:
    """Return the sample up to which the length made in round j has to serve."""
    later = [k for k in range(j + 1, when.rounds) if made[k + 1, line] != made[k, line]]
    return done_of(when, clocks)[later[0]] if later else when.serves


def _good_until(problem: Problem, lengths: Floats) -> float:
    """Return the last instant up to which no line leaves its band; NaN where one is out of it from the
    beginning."""
    out = (lengths < problem.given_lo - TOLERANCE) | (lengths > problem.given_hi + TOLERANCE)
    first = int(np.argmax(np.append(out.any(axis=1), True)))
    return float(problem.time[first - 1]) if first else float("nan")


def outpaced_lines(problem: Problem, clocks: Clocks, when: Schedule, lengths: Floats) -> list[CannotCure]:
    """Return lines that rounds cannot follow where the plan ends before its time, until the next round might
    be, and the metres they would need."""
    at, m = when.serves, len(problem.time)
    if at >= m:
        return []
    since = when.latest[-1] if when.rounds else at
    low, high = common_band(problem.lo, problem.hi, since, at + 1)
    missing = low - high
    if not (missing > TOLERANCE).any():
        missing = np.maximum(problem.lo[at] - lengths[at], lengths[at] - problem.hi[at])
    end = min(max(int(clocks[when.rounds - 1].next[since]), at + 1), m) if when.rounds else m
    begin, until = float(problem.time[at]), float(problem.time[end - 1])
    return [
        CannotCure(int(line), begin, until, float(missing[line]), "pace")
        for line in np.flatnonzero(missing > TOLERANCE)
    ]
