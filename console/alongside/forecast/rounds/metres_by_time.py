"""The metres of a move by when its round begins: those of a plan are right at the latest start only."""

import numpy as np

from alongside.forecast.rounds.how_long_lengths_serve import TOLERANCE
from alongside.forecast.rounds.plan import Move, Round
from alongside.forecast.rounds.whole_steps import nearest_length
from alongside.readings import Floats

ByTime = tuple[tuple[float, float], ...]
"""(UNIX s, m to pay out): each serves a round that begins from its time on, until that of the next."""


def metres_by_time(
    time: Floats, lo: Floats, hi: Floats, each: Round, move: Move, until: float = np.inf
) -> ByTime:
    """Return the metres of a move from `not_before` to `latest` of its round; `lo`, `hi` (m,) are its bands.

    Begun at a sample it is the length nearest to the planned one that serves from there as long as any does,
    at most until the next move of this line is done (`until`, UNIX s). Bands that are empty ask nothing.
    """
    before = move.length - move.pay_out_m
    low_ends, high_ends = np.where(lo > hi, -np.inf, lo), np.where(lo > hi, np.inf, hi)
    end = int(np.searchsorted(time, until))
    starts = np.flatnonzero((time >= each.not_before) & (time < each.latest))
    steps: list[tuple[float, float]] = []
    for start in starts.tolist():
        low, high = _common(low_ends[start:end], high_ends[start:end])
        length = move.length
        if not low - TOLERANCE <= length <= high + TOLERANCE:
            length = nearest_length(before, min(max(length, low), high), low, high)
        metres = round(length - before, 4)
        if not steps or steps[-1][1] != metres:
            steps.append((float(time[start]), metres))
    planned = round(move.pay_out_m, 4)
    if not steps or steps[-1][1] != planned:
        steps.append((each.latest, planned))
    return tuple(steps)


def _common(lo: Floats, hi: Floats) -> tuple[float, float]:
    """Return the band that serves from the first sample on as long as any single length does."""
    low, high = np.maximum.accumulate(lo), np.minimum.accumulate(hi)
    fails = int(np.argmin(np.append(low <= high + TOLERANCE, False)))
    return (float(low[fails - 1]), float(high[fails - 1])) if fails else (-np.inf, np.inf)
