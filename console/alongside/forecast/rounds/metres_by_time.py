"""The metres of a move by when its round begins: those of a plan are right at the latest start only."""

import numpy as np

from alongside.forecast.rounds.how_long_lengths_serve import TOLERANCE
from alongside.forecast.rounds.plan import Move, Round
from alongside.forecast.rounds.whole_steps import Bands, in_steps, nearest_length
from alongside.readings import Floats

ByTime = tuple[tuple[float, float], ...]
"""(UNIX s, m to pay out): each serves a round that begins from its time on, until that of the next."""


def metres_by_time(
    time: Floats,
    lo: Floats,
    hi: Floats,
    each: Round,
    move: Move,
    until: float = np.inf,
    expected: Bands | None = None,
) -> ByTime:
    """Return the metres of a move from `not_before` to `latest` of its round; `lo`, `hi` (m,) are its bands.

    Begun at a sample it is the length nearest to the planned one that serves from there as long as any does,
    at most until the next move of this line is done (`until`, UNIX s), in steps of 0.05 m; where none fits,
    within the wider band as `expected`, or for half as long. Bands that are empty ask nothing.
    """
    before = move.length - move.pay_out_m
    ends, wide = _opened((lo, hi)), None if expected is None else _opened(expected)
    end = int(np.searchsorted(time, until))
    starts = np.flatnonzero((time >= each.not_before) & (time < each.latest))
    steps: list[tuple[float, float]] = []
    for start in starts.tolist():
        low, high = _common(ends, start, end)
        length = move.length
        if not low - TOLERANCE <= length <= high + TOLERANCE:
            length = _length(before, move.length, (ends, wide), start, end)
        metres = round(length - before, 4)
        if not steps or steps[-1][1] != metres:
            steps.append((float(time[start]), metres))
    planned = round(move.pay_out_m, 4)
    if not steps or steps[-1][1] != planned:
        steps.append((each.latest, planned))
    return tuple(steps)


def _length(before: float, planned: float, ends: tuple[Bands, Bands | None], start: int, end: int) -> float:
    """Return the length next to the planned one that can be measured on deck and serves from a sample on as
    long as any does: within the band, within the wide one; or within the band half as long. In finer steps
    where none does."""
    band, wide = ends
    serves = _serves(band, start, end)
    low, high = _common(band, start, end)
    wanted = min(max(planned, low), high)
    length = nearest_length(before, wanted, low, high)
    if in_steps(length - before):
        return length
    if wide is not None:
        in_wide = nearest_length(before, wanted, *_common(wide, start, end))
        if in_steps(in_wide - before):
            return in_wide
    half = nearest_length(before, wanted, *_common(band, start, start + (serves + 1) // 2))
    return half if in_steps(half - before) else length


def _opened(ends: Bands) -> Bands:
    lo, hi = ends
    return np.where(lo > hi, -np.inf, lo), np.where(lo > hi, np.inf, hi)


def _serves(ends: Bands, start: int, end: int) -> int:
    """Return for how many samples any single length serves."""
    low, high = np.maximum.accumulate(ends[0][start:end]), np.minimum.accumulate(ends[1][start:end])
    return int(np.argmin(np.append(low <= high + TOLERANCE, False)))


def _common(ends: Bands, start: int, end: int) -> tuple[float, float]:
    """Return the band that serves from a sample on as long as any single length does."""
    until = start + _serves(ends, start, end)
    if until == start:
        return -np.inf, np.inf
    return float(ends[0][start:until].max()), float(ends[1][start:until].min())
