"""What a look ahead finds, as frozen data for screens, record and JSON."""

from dataclasses import dataclass, field, replace
from math import inf, nan
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.present import Present
from alongside.mechanics.holding import NO_WEAK_SPOT, WeakSpot
from alongside.readings import Codes, Floats
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage


@dataclass(frozen=True, slots=True, eq=False)
class Spread:
    """(m,) of one quantity: what is expected, and between what 90 % of the members lie. NaN: not known."""

    expected: Floats
    low: Floats
    high: Floats

    @property
    def known(self) -> bool:
        """Return whether anything is known of it at all."""
        return not bool(np.isnan(self.expected).all())


@dataclass(frozen=True, slots=True)
class LimitAhead:
    """One limit to come: `cause` on `subject` (line, bollard, `surge`, … or "" for the ship) reaches `stage`.

    UNIX seconds of the first time: by 5 %, half and 95 % of the members. None: it may not occur within the
    forecast; never all three. `standing`: reached already, all three are the beginning.
    """

    cause: Cause
    subject: str
    line: str | None
    stage: Stage
    not_before: float
    expected: float | None
    no_later: float | None
    standing: bool = False
    weak: WeakSpot = NO_WEAK_SPOT
    """Of a limit of holding: what gives first."""


SURE: Final = 0.8
"""Share of the cases from which rounds are a plan; below it they are something to look at again."""


@dataclass(frozen=True, slots=True)
class MoveAhead:
    """Metres to pay out (negative = heave in) of one line, at the latest start of its round.

    `by_time`: (UNIX s, m) by when the round begins, each from its time on until that of the next; the last is
    `pay_out_m`. They are exact for the first round; those after it count on the rounds before it as planned.
    """

    line: str
    pay_out_m: float
    by_time: tuple[tuple[float, float], ...] = ()

    def pay_out_at(self, time: float) -> float:
        """Return the metres that are right when the round begins at a time; the first or last before or after
        all of them."""
        begun = [metres for begin, metres in self.by_time if begin <= time]
        return begun[-1] if begun else self.by_time[0][1] if self.by_time else self.pay_out_m

    def at(self, time: float) -> "MoveAhead":
        """Return the move with the metres of a round that begins at `time`, UNIX s."""
        return replace(self, pay_out_m=self.pay_out_at(time))


@dataclass(frozen=True, slots=True)
class RoundAhead:
    """One tending round. It may begin between `not_before` and `latest`; the moves are those for `latest`,
    and these very metres serve from `lengths_from` until `serves_until` (UNIX s). `overdue`: a line is out of
    its band already, or will be before the round is done."""

    not_before: float
    latest: float
    lengths_from: float
    serves_until: float
    duration_s: float
    moves: tuple[MoveAhead, ...]
    overdue: bool = False
    holds_before_ms: float = nan
    """Wind that is held without the round about when it is done, m/s; NaN where the ship is kept in place."""
    holds_after_ms: float = nan
    holds: float = nan
    """Share of the cases in which every line stays within its limits from now until the next round, with this
    round and those before it."""

    @property
    def is_sure(self) -> bool:
        """Return whether it is a plan: it holds in enough of the cases, or nothing is known of that."""
        return not self.holds < SURE

    def moves_at(self, time: float) -> tuple[MoveAhead, ...]:
        """Return the moves with the metres of a round that begins at `time`, UNIX s."""
        return tuple(move.at(time) for move in self.moves)


@dataclass(frozen=True, slots=True)
class PartialDeed:
    """Tending that helps where none cures: metres to pay out (negative = heave in) at a time, UNIX s, on top
    of the rounds; undone at `undone_at`, infinite where it stays. At the worst, `share_at`, the line is then
    at `share` of what the cause is measured by, with `limit`; without it, it would be at `share_without`."""

    pay_out_m: float
    at: float
    undone_at: float
    cause: Cause
    share: float
    share_at: float
    share_without: float
    limit: float

    @property
    def cures(self) -> bool:
        """Return whether the line keeps its limit with it, as expected."""
        return self.share > self.limit if self.cause == "slack" else self.share < self.limit


@dataclass(frozen=True, slots=True)
class Incurable:
    """What no tending cures: from `time` to `until` a line is `missing_m` short. `empty`: no length serves.
    `pace`: the bands run away faster than rounds may follow. `together`: tending moved the ship, so that the
    plan did not hold when the mechanics were run with it. `wind`: with it tended by so much, the lines would
    hold too little in the wind `wind_ms`, m/s, or she would lie off her fenders; `heaves` where it would be
    heaved."""

    line: str
    time: float
    until: float
    missing_m: float
    why: Literal["empty", "pace", "together", "wind"]
    wind_ms: float = nan
    heaves: bool = False
    helps: PartialDeed | None = None
    """What helps most all the same; None where nothing does, or nothing may be done."""


@dataclass(frozen=True, slots=True)
class ChoiceAhead:
    """So many rounds keep lines so many metres clear of their bands."""

    rounds: int
    margin_m: float


@dataclass(frozen=True, slots=True)
class Tending:
    """The fewest rounds that keep every line short of the stage `within`, as verified by the mechanics:
    `verified` says that every line stays in band with them, as expected, and `holds` is the share of members
    in which it does. `good_until`: UNIX s, NaN where a line is out of band from the beginning."""

    rounds: tuple[RoundAhead, ...] = ()
    cannot_cure: tuple[Incurable, ...] = ()
    choices: tuple[ChoiceAhead, ...] = ()
    within: str = "warning"
    good_until: float = float("nan")
    is_fewest: bool = True
    verified: bool = False
    holds: float = float("nan")
    pending: bool = False
    """A length has changed since: the rounds are being planned anew."""
    untried: bool = False
    """The calculation failed that tries rounds in the wind of now, so that there are none."""
    waits_for: Literal["", "tide", "draughts"] = ""
    """What is in doubt, so that no round is planned before somebody has looked; "" where nothing is."""
    winches: tuple[str, ...] = ()
    """Lines whose brakes are in question: no metres on their winches before somebody has looked."""

    rounds_by_table: int | None = None
    """The fewest rounds if all comes as expected, without anything given away to what may come."""

    @property
    def next_round(self) -> RoundAhead | None:
        """Return the next round that is a plan; None where none is needed, or it holds in too few cases."""
        return self.rounds[0] if self.rounds and self.rounds[0].is_sure else None

    def waiting_for(self, lines: tuple[str, ...]) -> "Tending":
        """Return the same without metres for lines whose brakes are in question."""
        if lines == self.winches:
            return self
        rounds = [
            replace(each, moves=tuple(move for move in each.moves if move.line not in lines))
            for each in self.rounds
        ]
        cures = tuple(each for each in self.cannot_cure if each.line not in lines)
        left = tuple(each for each in rounds if each.moves)
        return replace(self, rounds=left, cannot_cure=cures, winches=lines)


@dataclass(frozen=True, slots=True, eq=False)
class HeldAhead:
    """What the lines hold as expected, from about where it is to blow: `holds_ms` (m,) m/s; `calm_share` (m,)
    of the limit that goes first in a calm; `weak` gives first at the instants `time`, about half an hour
    apart. NaN where not known."""

    holds_ms: Floats
    calm_share: Floats
    time: Floats
    weak: tuple[WeakSpot, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Forecast:
    """From `time` on, at (m,) instants `times`; columns of lines stand in the order of `lines`.

    `stage` (m, lines) as expected, `stage_worst` what 95 % of members do not pass, both -1 where nothing is
    known of a line; `cause` (m, lines) index into `causes` of what makes that stage, -1 where it is normal.
    Shares and angles (m, lines) as expected, NaN where not known.
    """

    time: float
    times: Floats
    lines: tuple[str, ...]
    members: int
    tide: Spread
    draught_fwd: Spread
    draught_aft: Spread
    heel_deg: Spread
    wind_ms: Spread
    wind_from_deg: Floats
    under_keel: Spread
    rail_over_quay: Spread
    """m; NaN without a gangway in the stay file."""
    surge: Spread
    sway: Spread
    holding_share: Spread
    """The 30 s wind by what the set can hold; NaN where the ship is kept in place."""
    stage: Codes
    stage_worst: Codes
    cause: NDArray[np.int8]
    causes: tuple[str, ...]
    vertical_deg: Floats
    stretch_share: Floats
    load_share: Floats
    limits: tuple[LimitAhead, ...]
    """Earliest first."""
    tending: Tending = field(default_factory=Tending)
    followed: tuple[LimitAhead, ...] = ()
    """Limits that are reached all the same, or only then, with the rounds of `tending` done; earliest first.
    Empty also where there are no rounds: then `limits` holds."""
    notes: tuple[str, ...] = ()
    """What whoever reads these figures has to know, a line each."""
    reason: str = ""
    """Why nothing is known of the lines, or ""."""
    known_until: float = inf
    """The last instant up to which the loads of all lines made fast are known; no limit is
    looked for beyond, and no plan is verified there."""
    without: tuple[tuple[str, str], ...] = ()
    """Lines that nothing is known of, each with why in words: no limit of theirs, and no round, is here."""
    present: Present | None = None
    """What it began from, to ask what if from the same instant."""
    vertical_spread: Spread | None = None
    """Of angle, stretch and load (m, lines), with what 90 % of the members lie between; None in a forecast of
    an earlier program."""
    stretch_spread: Spread | None = None
    load_spread: Spread | None = None
    held: HeldAhead | None = None
    """None where no rule asks what the lines hold."""

    def limits_of(self, line: str) -> tuple[LimitAhead, ...]:
        """Return limits to come of one line."""
        return tuple(limit for limit in self.limits if limit.line == line)
