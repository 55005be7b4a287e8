"""What a plan of tending rounds says, and what those who carry it out can do."""

import math
from dataclasses import dataclass
from typing import Final, Literal

from alongside.readings import Floats

UNLIMITED: Final = float("inf")


@dataclass(frozen=True, slots=True)
class Crew:
    """What a round takes. `hands` None: as many as wanted; a line takes `hands_per_line` of them for
    `minutes_per_line`, and lines beyond what the hands can do at once come after. `gap_s` from start to
    start of rounds; `largest_move` m of one line in one round; `margin` m kept clear of either end of every
    band as far as it is wide enough, or none where rounds could not follow the bands then. `busy` are spells
    (from, until, UNIX s) in which the hands are at other lines."""

    minutes_per_line: float = 0.0
    hands: int | None = None
    hands_per_line: int = 2
    gap_s: float = 0.0
    largest_move: float = UNLIMITED
    margin: float = 0.0
    busy: tuple[tuple[float, float], ...] = ()

    @property
    def lines_at_once(self) -> float:
        """Return how many lines the hands can do at the same time; infinite where there are as many as
        wanted."""
        return math.inf if self.hands is None else self.hands // self.hands_per_line

    def duration(self, lines: int) -> float:
        """Return seconds that a round of so many lines takes; infinite without hands for even one."""
        if lines == 0:
            return 0.0
        at_once = min(lines, self.lines_at_once)
        return math.ceil(lines / at_once) * self.minutes_per_line * 60.0 if at_once else math.inf


NO_LIMITS: Final = Crew()


@dataclass(frozen=True, slots=True)
class Move:
    """Tending of one line (a column of the bands): metres paid out (negative = hove in), the length it makes,
    and the band that length lies in when the round is done at its latest."""

    line: int
    pay_out_m: float
    length: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Round:
    """One round. In some plan with as few rounds it starts at `not_before`, in none later than `latest`
    (UNIX s). The moves are those for `latest`; these very lengths already serve from `lengths_from` on, and
    until `serves_until`. The line whose old length fails first comes first. `overdue`: a line is out of its
    band already, or will be before the round is done."""

    not_before: float
    latest: float
    lengths_from: float
    serves_until: float
    duration_s: float
    moves: tuple[Move, ...]
    overdue: bool = False


@dataclass(frozen=True, slots=True)
class CannotCure:
    """What no tending cures. `empty`: from `time` to `until` no length of that line serves, its ends overlap
    by `missing_m` at the worst. `pace`: the bands move on faster than rounds or moves may follow; from `time`
    on the line would need `missing_m` more."""

    line: int
    time: float
    until: float
    missing_m: float
    why: Literal["empty", "pace"]


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """`lengths` (m, n) as they stand at each sample when each round starts at its latest; `good_until` the
    last instant served. `at_least`: no plan has fewer rounds. `margin`: least clearance of any length from
    its band, as far as the plan serves."""

    rounds: tuple[Round, ...]
    cannot_cure: tuple[CannotCure, ...]
    lengths: Floats
    good_until: float
    margin: float
    at_least: int

    @property
    def is_fewest(self) -> bool:
        """Return whether the rounds are proved to be the fewest.

        Where bands run away from rounds nothing is proved, nor where rounds are split for want of hands.
        """
        outpaced = any(each.why == "pace" for each in self.cannot_cure)
        return len(self.rounds) <= self.at_least and not outpaced
