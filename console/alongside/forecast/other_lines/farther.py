"""Which line led to which farther bollard helps most: a longer line is flatter, and has more stretch in hand.

A line's measure is its rise in hand: by how many metres the water, or the ship in it, may rise with its
length as it is until its stretch, its load or its brake comes to its limit, the ship where she lies. The line
that has least of it comes first, with the bollard that gives it most; the line is made fast there now, with
the load that it was made fast with, and the set must hold about as much wind as before.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.other_lines.candidates import bollards_of, free_of
from alongside.forecast.other_lines.cost import Cost, Rounds, cost_of, rounds_of, shares_in
from alongside.forecast.other_lines.limits import against, rope_needed_m
from alongside.forecast.other_lines.options import is_bound
from alongside.forecast.other_lines.places import LeadNow, Places
from alongside.forecast.other_lines.trial import check_known, sets_now, trials_of, weak_spot, with_line
from alongside.forecast.present import Present
from alongside.forecast.progress import Seen, unseen
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.guidance import EVEN_DEG, ROUNDING, off_lead
from alongside.mechanics.hold import hold
from alongside.mechanics.holding import WeakSpot, directions
from alongside.mechanics.lines import line_states
from alongside.mechanics.state import Pose
from alongside.readings import Floats
from alongside.stay.fittings import with_fittings
from alongside.stay.model import Line, Stay

BEST: Final = 3
LONGER: Final = 1.1
"""Times as long as now, outboard, at the least: less is no farther bollard. Common practice, no source."""
HOLDS: Final = 0.95
"""Of what the lines hold now they must hold then. Common practice, no source."""
LEAST_M: Final = 0.10
"""Of rise in hand that must be gained."""
RISE_M: Final = 10.0
STEP_M: Final = 0.05


@dataclass(frozen=True, slots=True, eq=False)
class Move:
    """One line led to a farther bollard: the line as it would be, how it leads now and then, its rise in
    hand, m (`RISE_M` for that or more), the rope that it needs, m; the rest as of one more line."""

    line: Line
    was: Line
    lead: tuple[LeadNow, LeadNow]
    rise_m: tuple[float, float]
    needs_m: float
    length_m: float
    weakest: WeakSpot
    now: Cost
    at_limit: Cost
    rounds: Rounds | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Farther:
    """The answer: the line first that has least in hand; `weakest` and `rounds` as the lines are."""

    time: float
    weakest: WeakSpot
    rounds: Rounds | None
    moves: tuple[Move, ...]
    tried: int
    left_out: Mapping[str, int]
    asked: tuple[str, ...] = ()
    """Lines whose brakes are in question: all of it is as if these held."""
    without: tuple[tuple[str, str], ...] = ()
    """Lines that nothing is known of and that hold nothing here, each with why in words."""


def farther_bollard(basis: Basis, present: Present, ahead: bool = True, seen: Seen = unseen) -> Farther:
    """Return the three moves that help most; without `ahead` the rounds are not looked at. Raise WrongInput
    where it cannot be known."""
    check_known(basis, present)
    seen(0.0, "trying farther bollards")
    search = _Search(basis, present)
    moves = list(search.moves())
    rounds = None
    if ahead and basis.stay.tide is not None:
        rounds = rounds_of(basis, present)
        for at, move in enumerate(moves):
            seen((at + 1.0) / (len(moves) + 1.0), "looking ahead with it")
            moves[at] = replace(move, rounds=rounds_of(*search.with_move(move)))
    return Farther(
        time=present.time,
        weakest=search.weakest,
        rounds=rounds,
        moves=tuple(moves),
        tried=search.tried,
        left_out=search.left_out,
        asked=present.asked,
        without=present.without(basis.arrangement.ids),
    )


def rise_in_hand(arrangement: Arrangement, pose: Pose, lengths: Floats) -> Floats:
    """Return by how many metres the water may rise (lines,) until each line comes to its limit, the ship
    at one pose (one row); `RISE_M` for that or more, 0 where it is there now, NaN for a line without a
    length."""
    rise = np.arange(0.0, RISE_M + STEP_M / 2.0, STEP_M)
    every = {name: np.repeat(getattr(pose, name), rise.size) for name in Pose.__dataclass_fields__}
    lines = line_states(arrangement, replace(Pose(**every), tide=pose.tide + rise), lengths)
    brake = lines.tension_kn / arrangement.brake_kn
    share = np.fmax(np.fmax(lines.stretch_share, lines.load_share), brake)
    at = np.where((share >= 1.0).any(axis=0), (share >= 1.0).argmax(axis=0), rise.size - 1)
    column = np.arange(share.shape[1])
    before = np.maximum(at - 1, 0)
    low, high = share[before, column], share[at, column]
    part = np.clip((1.0 - low) / np.where(high > low, high - low, np.inf), 0.0, 1.0)
    reached = (share >= 1.0).any(axis=0) & (at > 0)
    metres: Floats = np.where(reached, rise[before] + part * STEP_M, rise[at])
    return np.where(np.isnan(share).all(axis=0), np.nan, metres)


class _Search:
    def __init__(self, basis: Basis, present: Present) -> None:
        self._basis, self._present = basis, present
        now = sets_now(basis, present)
        self._pose = hold(now.arrangement, now.here, present.unstretched).pose
        self._places = Places(basis.stay, now.arrangement, self._pose)
        held, limit, where = now.holds(np.zeros(1, dtype=np.intp), directions())
        self.weakest = weak_spot(now, held[0], limit[0], where[0], directions())
        self._now_share = float(now.usage().share[0])
        self._rise = rise_in_hand(now.arrangement, self._pose, present.unstretched)
        self.left_out: Counter[str] = Counter()
        found = list(self._led_farther())
        self.tried = len(found)
        self._made(found)

    def _led_farther(self) -> Iterator[tuple[int, Line]]:
        """Yield every line led to a farther bollard that breaks no limit by where it leads."""
        stay, in_use = self._basis.stay, free_of(self._basis.stay, self._present).in_use
        steep = stay.limits.steep_deg.warning or 90.0
        for column, line in enumerate(stay.lines):
            if is_bound(stay, line) or np.isnan(self._present.unstretched[column]):
                continue
            others = tuple(each for each in in_use if each is not line)
            turn = max(EVEN_DEG, self._places.turn_deg(line.winch, line.fairlead, line.bollard))
            for bollard in bollards_of(stay):
                led = self._led(stay, line, bollard)
                if led is None:
                    continue
                reason = self._outside(line, led) or against(self._places, led, others, steep, turn)
                if not reason and line.rope_length is not None:
                    reason = "short" if rope_needed_m(self._places, led) > line.rope_length else ""
                if reason:
                    self.left_out[reason] += 1
                else:
                    yield column, led

    def _led(self, stay: Stay, line: Line, bollard: str) -> Line | None:
        own, other = (self._places.lead(line.fairlead, each) for each in (line.bollard, bollard))
        if other.outboard_m < LONGER * own.outboard_m:
            return None
        fast = replace(line.made_fast, at=self._present.time)
        return with_fittings(stay.ship, replace(line, bollard=bollard, made_fast=fast, tended=()))

    def _outside(self, line: Line, led: Line) -> str:
        """Return whether a line would lead farther off what guidance has for it than now, or than that
        allows."""
        own, other = (
            off_lead(line.role, self._places.lead(each.fairlead, each.bollard).ahead_deg)
            for each in (line, led)
        )
        turned = line.role == "spring" and (self._ahead(line) != self._ahead(led))
        return "lead" if turned or other[0] > max(other[1], own[0]) + ROUNDING else ""

    def _ahead(self, line: Line) -> bool:
        return self._places.lead(line.fairlead, line.bollard).ahead_deg < 90.0

    def _made(self, found: list[tuple[int, Line]]) -> None:
        """Make every line fast there, and look what it then has in hand."""
        self._lines: list[tuple[int, Line, float, float]] = []
        columns = [column for column, _ in found]
        trials = trials_of(self._basis, self._present, [line for _, line in found], columns)
        before = self._present.unstretched.size
        done = 0
        for trial in trials:
            usable = set(trial.usable(self._now_share).tolist())
            own = np.append(np.full(before, np.nan), trial.lengths)
            rise = rise_in_hand(trial.sets.arrangement, self._pose, own)[before:]
            for at, line in enumerate(trial.lines):
                column, length = columns[done + at], float(trial.lengths[at])
                if np.isnan(length) or at not in usable:
                    self.left_out["balance" if np.isnan(length) else "now"] += 1
                elif rise[at] >= self._rise[column] + LEAST_M:
                    self._lines.append((column, line, length, float(rise[at])))
            done += len(trial.lines)

    def moves(self) -> Iterator[Move]:
        """Yield the best moves: of each line the bollard that gives it most in hand with which the lines hold
        about as much as now; the line that has least in hand first."""
        order = sorted({column for column, *_ in self._lines}, key=lambda each: (self._rise[each], each))
        given = 0
        for column in order:
            own = [each for each in self._lines if each[0] == column]
            for _, line, length, rise in sorted(own, key=lambda each: (-round(each[3], 2), each[1].bollard)):
                spot = self._holds(column, line)
                if (spot.holds_ms or 0.0) >= HOLDS * (self.weakest.holds_ms or 0.0):
                    yield self._move(column, line, length, rise, spot)
                    given += 1
                    break
                self.left_out["holds"] += 1
            if given == BEST:
                return

    def _holds(self, column: int, line: Line) -> WeakSpot:
        (trial,) = trials_of(self._basis, self._present, [line], [column])
        held, limit, where = trial.sets.holds(np.zeros(1, dtype=np.intp), directions())
        return weak_spot(trial.sets, held[0], limit[0], where[0], directions())

    def _move(self, column: int, line: Line, length: float, rise: float, spot: WeakSpot) -> Move:
        was = self._basis.stay.lines[column]
        basis, present = with_line(self._basis, self._present, line, length, column)
        limit = (self.weakest.holds_ms or 0.0, self.weakest.from_deg or 0.0)
        now, at_limit = (
            cost_of(shares_in(self._basis, self._present, wind), shares_in(basis, present, wind))
            for wind in (None, limit)
        )
        own, other = (self._places.lead(each.fairlead, each.bollard) for each in (was, line))
        needs = rope_needed_m(self._places, line)
        rises = float(self._rise[column]), rise
        return Move(line, was, (own, other), rises, needs, length, spot, now, at_limit)

    def with_move(self, move: Move) -> tuple[Basis, Present]:
        column = [each.id for each in self._basis.stay.lines].index(move.was.id)
        return with_line(self._basis, self._present, move.line, move.length_m, column)
