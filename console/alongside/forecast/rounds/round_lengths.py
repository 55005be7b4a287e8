"""Which lines to tend in which round, and to what length, once the starts of the rounds are known.

Each line by itself: as few moves as possible, and among as few the one that keeps most clear of its bands.
A length is the centre of the band that is common to all samples it has to serve, the move rounded to
0.05 m where that stays in the band, to 0.01 m where only that does, else as it is.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.forecast.rounds.how_long_lengths_serve import TOLERANCE, common_band
from alongside.readings import Floats

STEPS: Final = (0.05, 0.01)

Common = tuple[list[float], list[float]]


@dataclass(frozen=True, slots=True)
class Run:
    """One length of a line, made in round `begin` (-1: the present one), serving until round `end` is done
    (rounds count from 0; as many as there are: to the end), within `low`..`high` m."""

    begin: int
    end: int
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class _Way:
    """A way to have come to round `at`: the length made there may be anywhere in `low`..`high`."""

    at: int
    low: float
    high: float
    moves: int
    clear: float
    run: Run | None
    """The last run, which ends here."""
    before: "_Way | None"


@dataclass(frozen=True, slots=True, eq=False)
class Bands:
    """Common bands of runs between given starts. `common[begin + 1]` has one (low, high), each n long, for
    each round in turn that may end the run, from `begin + 1` on, as far as any line has a band at all."""

    common: Sequence[Sequence[Common]]
    rounds: int


def bands_between(lo: Floats, hi: Floats, starts: Sequence[int], done: Sequence[int]) -> Bands:
    """Return bands of all runs. A run made in a round serves from its start until the round that ends it is
    `done`; a round at sample 0 asks nothing of the present lengths."""
    ends = [*done, len(lo)]
    first = 0 if starts and starts[0] == 0 else ends[0]
    present = _growing(lo, hi, 0, [first, *ends[1:]])
    return Bands(
        [present] + [_growing(lo, hi, start, ends[j + 1 :]) for j, start in enumerate(starts)], len(starts)
    )


def _growing(lo: Floats, hi: Floats, begin: int, ends: Sequence[int]) -> list[Common]:
    """Return common bands from `begin` to each of the rising `ends`, until no line has one any more."""
    found, so_far = [], begin
    low, high = common_band(lo, hi, begin, begin)
    for end in ends:
        more_low, more_high = common_band(lo, hi, so_far, end)
        low, high, so_far = np.maximum(low, more_low), np.minimum(high, more_high), max(so_far, end)
        if not (low <= high + TOLERANCE).any():
            break
        found.append((low.tolist(), high.tolist()))
    return found


def runs_of_line(bands: Bands, line: int, present: float, largest: float) -> tuple[Run, ...] | None:
    """Return the runs of a line with the fewest moves, none over `largest` m; None where there is no way."""
    waiting: list[list[_Way]] = [[] for _ in range(bands.rounds + 1)]
    ways = [_Way(-1, present, present, 0, math.inf, None, None)]
    for at in range(-1, bands.rounds):
        for way in ways if at < 0 else _worth_keeping(waiting[at]):
            for end, (low, high) in enumerate(bands.common[at + 1], at + 1):
                further = _further(way, (low[line], high[line]), end, largest, bands.rounds)
                if further is None:
                    break
                waiting[end].append(further)
    arrived = sorted(waiting[-1], key=lambda way: (way.moves, -way.clear))
    return _runs(arrived[0]) if arrived else None


def _runs(way: _Way) -> tuple[Run, ...]:
    """Return the runs of a way, the present one first."""
    if way.run is None or way.before is None:
        return ()
    return (*_runs(way.before), way.run)


def _further(way: _Way, band: tuple[float, float], end: int, largest: float, rounds: int) -> _Way | None:
    """Return the way on: the length it has serves within `band` until round `end`; None where it cannot, nor
    any longer run of it."""
    low, high = band
    from_, to = max(low, way.low), min(high, way.high)
    if from_ > to + TOLERANCE:
        return None
    clear = way.clear
    if math.isfinite(low):
        best = min(max((low + high) / 2.0, from_), to)
        clear = min(clear, best - low, high - best)
    moves = way.moves + int(end < rounds)
    return _Way(end, from_ - largest, to + largest, moves, clear, Run(way.at, end, low, high), way)


def _worth_keeping(ways: list[_Way]) -> list[_Way]:
    """Return ways that none with as few moves beats in freedom: one where moves are unlimited."""
    kept: list[_Way] = []
    for way in sorted(ways, key=lambda way: (way.moves, -way.clear, way.low - way.high)):
        if not any(other.low <= way.low and other.high >= way.high for other in kept):
            kept.append(way)
    return kept


def lengths_of_runs(runs: Sequence[Run], present: float, largest: float) -> list[float]:
    """Return the length of each run, the first being the present one."""
    inner = [(run.low, run.high) for run in runs]
    for i in range(len(runs) - 2, -1, -1):
        low, high = inner[i + 1]
        inner[i] = max(inner[i][0], low - largest), min(inner[i][1], high + largest)
    lengths = [present]
    for run, (low, high) in zip(runs[1:], inner[1:], strict=True):
        low, high = max(low, lengths[-1] - largest), min(high, lengths[-1] + largest)
        lengths.append(_rounded(lengths[-1], low, high, (run.low + run.high) / 2.0))
    return lengths


def _rounded(before: float, low: float, high: float, best: float) -> float:
    """Return a length in low..high near `best`, by a move in whole steps where one fits."""
    if not math.isfinite(best):
        best = before
    best = min(max(best, low), max(high, low))
    for step in STEPS:
        move = round((best - before) / step) * step
        for candidate in (move, move - step, move + step):
            if low - TOLERANCE <= before + candidate <= high + TOLERANCE:
                return before + candidate
    return best
