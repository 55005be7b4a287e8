"""Metres that can be ordered and done on deck: moves in whole steps, where the bands leave room for it."""

from dataclasses import replace
from typing import Final

import numpy as np

from alongside.forecast.rounds.how_long_lengths_serve import TOLERANCE
from alongside.forecast.rounds.plan import Move, Plan, Round
from alongside.forecast.rounds.round_lengths import STEPS
from alongside.readings import Floats

ROOM: Final = STEPS[0]
"""m that a plan keeps clear at either end where that costs no round: then every move can be rounded."""


def rounded(plan: Plan, time: Floats, lo: Floats, hi: Floats, largest: float = np.inf) -> Plan:
    """Return the same plan with its moves in steps of 0.05 m where the length stays within its band
    `lo`..`hi` (m, lines) for as long as it serves, of 0.01 m where only that does, else as they are. Steps
    do not add up: each move goes to within half a step of the length that was planned, and none is over
    the `largest`, m."""
    lengths = plan.lengths.copy()
    rounds = list(plan.rounds)
    for line in sorted({move.line for each in rounds for move in each.moves}):
        own = [j for j, each in enumerate(rounds) if any(move.line == line for move in each.moves)]
        before = _before(plan, rounds[own[0]], line)
        for place, j in enumerate(own):
            move = next(move for move in rounds[j].moves if move.line == line)
            following = rounds[own[place + 1]] if place + 1 < len(own) else None
            low, high = _room(time, lo[:, line], hi[:, line], rounds[j], following)
            length = nearest_length(before, move.length, low, high, largest)
            made = replace(move, pay_out_m=length - before, length=length)
            rounds[j] = _with(rounds[j], made)
            until = following.latest if following else np.inf
            part = (time >= rounds[j].latest) & (time < until) & ~np.isnan(lengths[:, line])
            lengths[part, line] = length
            before = length
    return replace(plan, rounds=tuple(rounds), lengths=lengths)


def _before(plan: Plan, first: Round, line: int) -> float:
    """Return the length before the first move of a line."""
    move = next(move for move in first.moves if move.line == line)
    return move.length - move.pay_out_m


def _room(time: Floats, lo: Floats, hi: Floats, begin: Round, end: Round | None) -> tuple[float, float]:
    """Return between what a length has to lie from one round on until the next is done; bands that are empty,
    which no length serves, ask nothing."""
    until = end.latest + end.duration_s if end else np.inf
    part = (time >= begin.latest) & (time < until) & (lo <= hi)
    if not part.any():
        return -np.inf, np.inf
    return float(lo[part].max()), float(hi[part].min())


def nearest_length(before: float, wanted: float, low: float, high: float, largest: float = np.inf) -> float:
    """Return the length next to the one wanted by a move in whole steps; that one where no step fits."""
    for step in STEPS:
        exact = (wanted - before) / step
        for moves in (round(exact), np.floor(exact), np.ceil(exact)):
            length = before + moves * step
            fits = low - TOLERANCE <= length <= high + TOLERANCE
            if moves and fits and abs(moves * step) <= largest + TOLERANCE:
                return float(length)
    return wanted


def _with(each: Round, made: Move) -> Round:
    moves = tuple(made if move.line == made.line else move for move in each.moves)
    return replace(each, moves=moves)
