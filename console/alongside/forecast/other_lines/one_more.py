"""One more line: which spare rope, over which free fairlead, to which bollard adds most.

Every lead that breaks no limit is made fast now, in the balance of this instant with the others, and asked
what wind the set then holds. A lead holds from its weakest direction no more than from any: so all are asked
from some directions first, and from all 72 in the order of what that leaves them, until none that is left
could be among the best. What is named best is the best of all that were offered.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import nan
from typing import Final, Literal

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import expected_situations
from alongside.forecast.look_ahead import Far
from alongside.forecast.other_lines.candidates import candidates_of, free_of
from alongside.forecast.other_lines.cost import Cost, Rounds, cost_of, rounds_of, shares_in
from alongside.forecast.other_lines.limits import rope_needed_m
from alongside.forecast.other_lines.places import LeadNow, Places
from alongside.forecast.other_lines.trial import (
    TIE_MS,
    Trial,
    check_known,
    sector,
    sets_now,
    trials_of,
    tried_first,
    weak_spot,
    with_line,
)
from alongside.forecast.present import Present
from alongside.forecast.progress import Seen, unseen
from alongside.mechanics.hold import hold
from alongside.mechanics.holding import WeakSpot, directions
from alongside.mechanics.line_sets import Whole
from alongside.readings import Floats
from alongside.stay.model import Line
from alongside.units import KNOT

Aim = Literal["weakest", "forecast", "rounds"]
AIMS: Final[tuple[Aim, ...]] = ("weakest", "forecast", "rounds")
BEST: Final = 3
LOOKED_AHEAD: Final = 6
"""Leads of which the rounds are looked at where these are the aim: those that hold most."""
SOME: Final = 6
"""Leads that are asked from all directions at once."""


@dataclass(frozen=True, slots=True)
class Blow:
    """The strongest wind that is expected in the hours ahead: m/s, true deg that it comes from, and when."""

    ms: float
    from_deg: float
    at: float


@dataclass(frozen=True, slots=True, eq=False)
class Option:
    """One extra line: where it leads, the main rope that it needs, m; what wind the set then holds from its
    weakest direction, and from about that of the forecast, NaN where there is none; what it does to the
    others in the wind of now and in the wind that is held without it; the rounds with it."""

    line: Line
    lead: LeadNow
    needs_m: float
    length_m: float
    weakest: WeakSpot
    forecast_ms: float
    now: Cost
    at_limit: Cost
    rounds: Rounds | None = None

    @property
    def lead_key(self) -> tuple[str, str]:
        return self.line.fairlead, self.line.bollard


@dataclass(frozen=True, slots=True, eq=False)
class OneMore:
    """The answer: the best first; `weakest` and `forecast_ms` as the lines are; `tried` leads broke no limit,
    those `left_out` did, by what stands against them."""

    time: float
    aim: Aim
    weakest: WeakSpot
    blow: Blow | None
    forecast_ms: float
    rounds: Rounds | None
    options: tuple[Option, ...]
    tried: int
    left_out: Mapping[str, int]
    spare: int
    """Spare ropes that the stay file has."""
    asked: tuple[str, ...] = ()
    """Lines whose brakes are in question: all of it is as if these held."""
    without: tuple[tuple[str, str], ...] = ()
    """Lines that nothing is known of and that hold nothing here, each with why in words."""


def one_more_line(
    basis: Basis,
    present: Present,
    aim: Aim = "weakest",
    load_kn: float | None = None,
    ahead: bool = True,
    seen: Seen = unseen,
    forecast: bool = True,
) -> OneMore:
    """Return the best three extra lines for one aim, made fast with `load_kn`; without `ahead` the rounds are
    not looked at, without `forecast` nor is the wind to come. Raise WrongInput where it cannot be known, or
    there is nothing to aim at."""
    check_known(basis, present)
    blow = strongest_wind(basis, present) if forecast else None
    search = _Search(basis, present, aim, load_kn, blow)
    if aim == "forecast" and search.blow is None:
        raise WrongInput("no stronger wind is expected in the hours ahead, expected a forecast of the wind")
    if aim == "rounds" and (not ahead or basis.stay.tide is None):
        raise WrongInput("no rounds are planned: nothing is known of the hours ahead")
    seen(0.0, "trying one more line")
    chosen = search.best(LOOKED_AHEAD if aim == "rounds" else BEST)
    options = [search.option(*each) for each in chosen]
    rounds = None
    if ahead and basis.stay.tide is not None:
        rounds = rounds_of(basis, present)
        for at, option in enumerate(options):
            seen((at + 1.0) / (len(options) + 1.0), "looking ahead with it")
            options[at] = replace(option, rounds=rounds_of(*search.with_option(option)))
    if aim == "rounds":
        options.sort(key=lambda each: (99, 0, 0) if each.rounds is None else each.rounds.rank)
    return OneMore(
        time=present.time,
        aim=aim,
        weakest=search.weakest,
        blow=search.blow,
        forecast_ms=search.forecast_ms,
        rounds=rounds,
        options=tuple(options[:BEST]),
        tried=search.tried,
        left_out=search.left_out,
        spare=sum(each.number for each in basis.stay.spare_ropes),
        asked=present.asked,
        without=present.without(basis.arrangement.ids),
    )


def strongest_wind(basis: Basis, present: Present) -> Blow | None:
    """Return the strongest wind that is expected, where it is stronger than now by a knot."""
    times = Far.of(basis.stay).times(present.time)
    expected = expected_situations(basis.stay, present, times, members=1)
    speed, come_from = expected.wind_speed[0], expected.wind_from[0]
    known = ~np.isnan(speed + come_from)
    if not known.any():
        return None
    at = int(np.where(known, speed, -1.0).argmax())
    if not speed[at] > np.nan_to_num(present.wind_speed) + KNOT:
        return None
    return Blow(float(speed[at]), float(come_from[at]), float(times[at]))


class _Search:
    """All extra lines that break no limit, and what each holds as far as it was asked."""

    def __init__(
        self, basis: Basis, present: Present, aim: Aim, load_kn: float | None, blow: Blow | None
    ) -> None:
        self._basis, self._present, self._aim = basis, present, aim
        now = sets_now(basis, present)
        lies = hold(now.arrangement, now.here, present.unstretched).pose
        self._places = Places(basis.stay, now.arrangement, lies)
        free = free_of(basis.stay, present)
        found = candidates_of(basis.stay, self._places, free, present.time, load_kn)
        self.left_out: Counter[str] = found.left_out
        held, limit, where = now.holds(np.zeros(1, dtype=np.intp), directions())
        self.weakest = weak_spot(now, held[0], limit[0], where[0], directions())
        self.blow = blow
        self._sector = np.empty(0, dtype=np.intp) if self.blow is None else sector(self.blow.from_deg)
        self.forecast_ms = float(held[0][self._sector].min()) if self._sector.size else nan
        self._asked_from = np.union1d(tried_first(held[0]), self._sector)
        self._choose(trials_of(basis, present, found.lines), float(now.usage().share[0]))

    def _choose(self, trials: list[Trial], now_share: float) -> None:
        """Ask every lead that can be made fast from some directions."""
        self._lines: list[Line] = []
        lengths, at_most, forecast = [], [], []
        for trial in trials:
            known = np.flatnonzero(~np.isnan(trial.lengths))
            usable = np.intersect1d(known, trial.usable(now_share))
            self.left_out["balance"] += len(trial.lines) - known.size
            self.left_out["now"] += known.size - usable.size
            held = trial.sets.holds(usable, directions()[self._asked_from])[0]
            in_sector = np.isin(self._asked_from, self._sector)
            self._lines += [trial.lines[at] for at in usable.tolist()]
            lengths.append(trial.lengths[usable])
            at_most.append(held.min(axis=1))
            forecast.append(held[:, in_sector].min(axis=1) if in_sector.any() else np.full(usable.size, nan))
        self.tried = len(self._lines)
        nothing = [np.empty(0)]
        self._lengths: Floats = np.concatenate(lengths + nothing)
        self._at_most: Floats = np.concatenate(at_most + nothing)
        self._forecast: Floats = np.concatenate(forecast + nothing)

    def best(self, wanted: int) -> list[tuple[int, WeakSpot]]:
        """Return so many leads, the best first, each with the weakest direction of the set: of those over one
        fairlead to one bollard the best alone."""

        def at_best(at: int) -> tuple[object, ...]:
            return self._rank(at, float(self._at_most[at])), _names(self._lines[at]), at

        left = sorted(range(self.tried), key=at_best)
        found: dict[int, WeakSpot] = {}
        while left:
            best = self._leads(found)
            if len(best) >= wanted:
                worst = best[wanted - 1]
                if (self._key(worst, found), _names(self._lines[worst]), worst) < at_best(left[0]):
                    break
            some, left = left[:SOME], left[SOME:]
            found |= self._asked_all_round(some)
        return [(at, found[at]) for at in self._leads(found)[:wanted]]

    def _rank(self, at: int, holds_ms: float) -> tuple[int, ...]:
        """Return the rank of a lead that holds so much from its weakest direction, the best first."""
        weakest = -round(holds_ms / TIE_MS)
        if self._aim != "forecast":
            return (weakest,)
        return -round(float(self._forecast[at]) / TIE_MS), weakest

    def _key(self, at: int, found: Mapping[int, WeakSpot]) -> tuple[int, ...]:
        return self._rank(at, found[at].holds_ms or 0.0)

    def _leads(self, found: Mapping[int, WeakSpot]) -> list[int]:
        """Return the best of each lead, the best first; among equals by name."""
        best: dict[tuple[str, str], int] = {}
        for at in sorted(found, key=lambda each: (self._key(each, found), _names(self._lines[each]), each)):
            best.setdefault((self._lines[at].fairlead, self._lines[at].bollard), at)
        return list(best.values())

    def _asked_all_round(self, some: list[int]) -> Iterator[tuple[int, WeakSpot]]:
        """Yield the weakest of all directions of some leads."""
        (trial,) = trials_of(self._basis, self._present, [self._lines[at] for at in some])
        rows: Whole = np.arange(len(some))
        held, limit, where = trial.sets.holds(rows, directions())
        for row, at in enumerate(some):
            yield at, weak_spot(trial.sets, held[row], limit[row], where[row], directions())

    def option(self, at: int, weakest: WeakSpot) -> Option:
        line = self._lines[at]
        basis, present = with_line(self._basis, self._present, line, float(self._lengths[at]))
        limit = (self.weakest.holds_ms or 0.0, self.weakest.from_deg or 0.0)
        now, at_limit = (
            cost_of(shares_in(self._basis, self._present, wind), shares_in(basis, present, wind))
            for wind in (None, limit)
        )
        return Option(
            line=line,
            lead=self._places.lead(line.fairlead, line.bollard),
            needs_m=rope_needed_m(self._places, line),
            length_m=float(self._lengths[at]),
            weakest=weakest,
            forecast_ms=float(self._forecast[at]),
            now=now,
            at_limit=at_limit,
        )

    def with_option(self, option: Option) -> tuple[Basis, Present]:
        return with_line(self._basis, self._present, option.line, option.length_m)


def _names(line: Line) -> tuple[str, ...]:
    return line.fairlead, line.bollard, line.winch or "", line.rope.name
