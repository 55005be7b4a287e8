"""Metres that can be ordered and done on deck: moves in steps of 0.05 m, none below 0.10 m where the bands
leave room for it.

Nobody sends two men for a few centimetres. So each line is laid out anew over the rounds of its plan: as few
moves as steps allow, a small one joined to another round or made 0.10 m, lengths on steps from the present.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.forecast.rounds.how_long_lengths_serve import TOLERANCE
from alongside.forecast.rounds.plan import CannotCure, Crew, Move, Plan, Round
from alongside.forecast.rounds.round_lengths import STEPS
from alongside.readings import Floats

ROOM: Final = STEPS[0]
"""m that a plan keeps clear at either end where that costs no round: then every move can be rounded."""
LEAST_MOVE: Final = 0.10
"""m; less is joined to another round, or made so much. Common practice, no source."""
AROUND: Final = 0.30
"""m about the lengths of the plan within which others are tried."""
BEYOND: Final = 1e9
A_MOVE: Final = 1e6
A_SMALL_MOVE: Final = 1e3
ANOTHER_ROUND: Final = 1e-3
"""What a metre beyond the band of the plan costs, a move, one below the least, and one in a round in which
the plan leaves this line; a metre off the middle of what a length has to serve costs 1."""

Bands = tuple[Floats, Floats]


def on_deck(plan: Plan, time: Floats, bands: Bands, expected: Bands, crew: Crew) -> Plan:
    """Return the same rounds with moves that can be done on deck.

    Steps of 0.05 m within `bands` (m, lines) of the plan; where none fits, as little beyond as can be, within
    the wider ones of what is `expected`; where none fits these, steps of 0.01 m; else the moves stay as they
    are. No move is over the largest of the crew and no round takes longer than before; one left without a
    move is left out.
    """
    used = [excused(plan.cannot_cure, time, *bands, line) for line in range(bands[0].shape[1])]
    for line in _moved(plan.rounds):
        wide = excused(plan.cannot_cure, time, *expected, line)
        for step in STEPS:
            laid = _laid_out(plan, time, (used[line], wide), (line, step, crew))
            if laid is not None:
                out = (laid.lengths[:, line] < used[line][0] - TOLERANCE) | (
                    laid.lengths[:, line] > used[line][1] + TOLERANCE
                )
                plan, used[line] = laid, wide if out.any() else used[line]
                break
    rounds = tuple(
        replace(each, duration_s=crew.duration(len(each.moves))) for each in plan.rounds if each.moves
    )
    low, high = (np.stack([band[end] for band in used], axis=1) for end in (0, 1))
    return _timed(replace(plan, rounds=rounds), time, low, high)


def excused(cures: Sequence[CannotCure], time: Floats, lo: Floats, hi: Floats, line: int) -> Bands:
    """Return the band (m,) of a line, open where none serves, and wider by what is missing where rounds
    cannot keep up."""
    low, high = lo[:, line].copy(), hi[:, line].copy()
    empty = ~(low <= high)
    for each in cures:
        if each.line == line and each.why == "pace":
            spell = (time >= each.time) & (time <= each.until)
            low[spell] -= each.missing_m
            high[spell] += each.missing_m
    low[empty], high[empty] = -np.inf, np.inf
    return low, high


def in_centimetres(plan: Plan, time: Floats, crew: Crew) -> Plan:
    """Return the same rounds with every move in whole centimetres, as it is written: a move that no step
    fitted goes to the next one, and what that breaks is for the mechanics to find."""
    for line in _moved(plan.rounds):
        moves = {j: move for j, each in enumerate(plan.rounds) if (move := _moves_of(each, line))}
        if all(is_whole(move.pay_out_m, STEPS[1]) for move in moves.values()):
            continue
        first = next(iter(moves.values()))
        present = length = first.length - first.pay_out_m
        way = {}
        most = np.floor(crew.largest_move / STEPS[1] + 1e-6)
        for j, move in moves.items():
            steps = float(np.clip(round((move.length - length) / STEPS[1]), -most, most))
            if steps:
                length += steps * STEPS[1]
                way[j] = length
        plan = _with_lengths(plan, time, line, present, way)
    return replace(plan, rounds=tuple(each for each in plan.rounds if each.moves))


def nearest_length(before: float, wanted: float, low: float, high: float, largest: float = np.inf) -> float:
    """Return the length next to the one wanted by a move of at least 0.10 m in whole steps; of less where
    only that fits `low`..`high`; the next step to the one wanted where none does."""
    for step, least in ((STEPS[0], LEAST_MOVE), (STEPS[0], 0.0), (STEPS[1], 0.0)):
        exact = (wanted - before) / step
        for moves in sorted(range(int(exact) - 3, int(exact) + 4), key=lambda moves: abs(moves - exact)):
            length, metres = before + moves * step, abs(moves * step)
            fits = low - TOLERANCE <= length <= high + TOLERANCE
            if moves and fits and least - TOLERANCE <= metres <= largest + TOLERANCE:
                return float(length)
    return float(before + round((wanted - before) / STEPS[1]) * STEPS[1])


def in_steps(metres: float) -> bool:
    """Return whether metres are whole steps of 0.05 m."""
    return is_whole(metres, STEPS[0])


def is_whole(metres: float, step: float) -> bool:
    """Return whether metres are whole steps."""
    return abs(metres / step - round(metres / step)) < 1e-6


def _moved(rounds: Sequence[Round]) -> list[int]:
    return sorted({move.line for each in rounds for move in each.moves})


def _laid_out(
    plan: Plan, time: Floats, ends: tuple[Bands, Bands], how: tuple[int, float, Crew]
) -> Plan | None:
    """Return the plan with one line laid out anew in steps; None where no steps fit the wider of its bands,
    those of the plan and the wider ones, (m,) each."""
    line, step, crew = how
    open_rounds = [j for j, each in enumerate(plan.rounds) if _is_open(each, line, crew)]
    rounds = [plan.rounds[j] for j in open_rounds]
    own = [_moves_of(each, line) is not None for each in rounds]
    first = next(move for each in rounds if (move := _moves_of(each, line)))
    present = first.length - first.pay_out_m
    planned = [move.length for each in plan.rounds if (move := _moves_of(each, line))]
    least = int(np.floor((min(present, *planned) - AROUND - present) / step))
    most = int(np.ceil((max(present, *planned) + AROUND - present) / step))
    way = _Lattice(
        present + step * np.arange(least, most + 1, dtype=np.float64),
        -least,
        _run_bands(time, ends[0], rounds),
        _run_bands(time, ends[1], rounds),
        tuple(own),
        crew.largest_move,
    ).best()
    if way is None:
        return None
    return _with_lengths(plan, time, line, present, {open_rounds[at]: length for at, length in way})


def _is_open(each: Round, line: int, crew: Crew) -> bool:
    """Return whether a line can move in a round that then takes no longer."""
    more = _moves_of(each, line) is None
    return crew.duration(len(each.moves) + more) <= each.duration_s


def _moves_of(each: Round, line: int) -> Move | None:
    return next((move for move in each.moves if move.line == line), None)


def _run_bands(time: Floats, band: Bands, rounds: Sequence[Round]) -> list[list[tuple[float, float]]]:
    """Return for the present length and that of each round, between what it has to lie until each later round
    is done, and until the end."""
    begins = [0, *(int(np.searchsorted(time, each.latest)) for each in rounds)]
    ends = [int(np.searchsorted(time, each.latest + each.duration_s - 1e-6)) for each in rounds]
    if rounds and begins[1] == 0:
        ends[0] = 0  # begun at once: nothing is asked of the present length
    ends.append(time.size)
    found = []
    for number, begin in enumerate(begins):
        parts = [slice(begin, max(end, begin)) for end in ends[number:]]
        lows = [float(band[0][part].max(initial=-np.inf)) for part in parts]
        highs = [float(band[1][part].min(initial=np.inf)) for part in parts]
        found.append(list(zip(lows, highs, strict=True)))
    return found


@dataclass(frozen=True, slots=True, eq=False)
class _Lattice:
    """Lengths (k,) of one line, `present` their index of the one that is out; `runs` as of `_run_bands`, and
    the `wide` ones that bind; which rounds are its `own` in the plan."""

    lengths: Floats
    present: int
    runs: list[list[tuple[float, float]]]
    wide: list[list[tuple[float, float]]]
    own: tuple[bool, ...]
    largest: float

    def best(self) -> list[tuple[int, float]] | None:
        """Return the rounds in which the line moves, and the length of each, at the least cost; None where
        there is no way."""
        count, size = len(self.runs), self.lengths.size
        cost = np.full((count, size), np.inf)
        came = np.full((count, size, 2), -1, dtype=np.intp)
        cost[0, self.present] = 0.0
        move = self._move_cost()
        end, last = np.inf, (-1, -1)
        for at in range(count):
            for further, (band, wide) in enumerate(zip(self.runs[at], self.wide[at], strict=True), at + 1):
                here = cost[at] + self._run_cost(band, wide)
                if not np.isfinite(here).any():
                    break
                if further == count:
                    k = int(np.argmin(here))
                    if here[k] < end:
                        end, last = float(here[k]), (at, k)
                    continue
                by_move = here[:, None] + move
                from_ = np.argmin(by_move, axis=0)
                reached = by_move[from_, np.arange(size)] + (0.0 if self.own[further - 1] else ANOTHER_ROUND)
                better = reached < cost[further]
                cost[further][better] = reached[better]
                came[further][better] = np.stack([np.full(size, at), from_], axis=1)[better]
        return None if last[0] < 0 else self._way(came, last)

    def _way(self, came: np.ndarray, last: tuple[int, int]) -> list[tuple[int, float]]:
        way, (at, k) = [], last
        while at > 0:
            way.append((at - 1, float(self.lengths[k])))
            at, k = (int(one) for one in came[at, k])
        return way[::-1]

    def _move_cost(self) -> Floats:
        """Return (k, k) what it costs to go from one length to another in a round."""
        metres = np.abs(self.lengths[:, None] - self.lengths[None, :])
        cost = np.where(metres < LEAST_MOVE - TOLERANCE, A_MOVE + A_SMALL_MOVE, A_MOVE)
        cost[(metres < TOLERANCE) | (metres > self.largest + TOLERANCE)] = np.inf
        return cost

    def _run_cost(self, band: tuple[float, float], wide: tuple[float, float]) -> Floats:
        """Return (k,) the distance of each length from the middle of the band, dear beyond its ends; infinite
        beyond those of the wide one."""
        low, high = band
        lengths = self.lengths
        middle = (low + high) / 2.0 if low > 0.0 and np.isfinite(high) else np.nan
        beyond = np.maximum(np.maximum(low - lengths, lengths - high) - TOLERANCE, 0.0)
        cost = np.nan_to_num(np.abs(lengths - middle)) + BEYOND * beyond
        inside = (lengths >= wide[0] - TOLERANCE) & (lengths <= wide[1] + TOLERANCE)
        return np.where(inside | (beyond <= 0.0), cost, np.inf)


def _with_lengths(plan: Plan, time: Floats, line: int, present: float, way: dict[int, float]) -> Plan:
    """Return the plan with other moves of one line: `way` has the length by round."""
    rounds, lengths, before = [], plan.lengths.copy(), present
    known = ~np.isnan(lengths[:, line])
    lengths[known, line] = present
    for j, each in enumerate(plan.rounds):
        others = tuple(move for move in each.moves if move.line != line)
        if j in way:
            made, planned = way[j], _moves_of(each, line)
            low, high = (planned.low, planned.high) if planned else (-np.inf, np.inf)
            new = Move(line, made - before, made, min(low, made), max(high, made))
            at = next((n for n, move in enumerate(each.moves) if move.line == line), len(others))
            others = (*others[:at], new, *others[at:])
            lengths[known & (time >= each.latest), line] = before = made
        rounds.append(replace(each, moves=others))
    return replace(plan, rounds=tuple(rounds), lengths=lengths)


def _timed(plan: Plan, time: Floats, low: Floats, high: Floats) -> Plan:
    """Return the plan with the times from when and until when its lengths serve, by bands (m, lines)."""
    rounds = []
    for each in plan.rounds:
        start = int(np.searchsorted(time, each.latest))
        length = plan.lengths[start]
        out = (length < low - TOLERANCE) | (length > high + TOLERANCE)
        moved = [move.line for move in each.moves]
        failed = np.flatnonzero(out[:start][:, moved].any(axis=1))
        fails = start + int(np.argmax(np.append(out[start:].any(axis=1), True)))
        rounds.append(
            replace(
                each,
                lengths_from=float(time[failed[-1] + 1 if failed.size else 0]),
                serves_until=float(time[max(min(fails, time.size) - 1, start)]),
            )
        )
    return replace(plan, rounds=tuple(rounds))
