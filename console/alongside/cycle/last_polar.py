"""The polar of what the lines hold, for all directions, and its weak spot in a sentence: for the instant that
the alert goes by."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from functools import reduce
from typing import Final

import numpy as np

from alongside.cycle.holding_now import Held
from alongside.cycle.holding_words import Change, HeldOrSlipped, holding_sentence
from alongside.cycle.who_holds import HeldBy, HoursAhead, who_holds
from alongside.forecast.basis import Basis
from alongside.forecast.model import Forecast
from alongside.mechanics.holding import HoldingPower, holding_power, holds_from
from alongside.mechanics.lesser_holding import lesser
from alongside.mechanics.reasons import NoLength, lines_without_length
from alongside.mechanics.situation import Situation
from alongside.mechanics.what_goes_next import with_next
from alongside.readings import Codes, Floats
from alongside.wording.times import clock

MORE_TIDE_M: Final = 2.0
AHEAD_S: Final = 6.5 * 3600.0
"""Half a tide and a little."""
LEAST_CHANGE_M: Final = 0.3
WEAKEST: Final = 8
"""Directions from which what goes next is worked out live."""


@dataclass(frozen=True, slots=True, eq=False)
class Rest:
    """What a polar rests on: one instant (one row), and the lengths of main rope, m (lines,)."""

    situation: Situation
    lengths: Floats

    def is_as(self, other: "Rest | None") -> bool:
        """Return whether another one is the same, or says the same: who looks at a record reads it anew each
        second."""
        if other is None or self.situation is other.situation:
            return other is not None
        mine, theirs = ([*_arrays(each.situation), each.lengths] for each in (self, other))
        return all(map(_same, mine, theirs))


def _arrays(situation: Situation) -> list[object]:
    return [getattr(situation, item.name) for item in fields(situation)]


def _same(one: object, other: object) -> bool:
    if isinstance(one, np.ndarray) and isinstance(other, np.ndarray):
        return np.array_equal(one, other, equal_nan=one.dtype.kind == other.dtype.kind == "f")
    return one is other or (not isinstance(one, np.ndarray) and one == other)


_WhoRests = tuple[Rest, Rest | None, Floats | None]
"""Both states, and the instants of the forecast: its rounds are made anew with each Picture, they are not."""


class LastPolar:
    """Remembers the polar, the sentence and who holds her of the instant they were asked for last."""

    def __init__(self, basis: Basis) -> None:
        self._basis = basis
        self._who: tuple[_WhoRests, tuple[HeldBy, ...]] | None = None
        self._rests: list[Rest] = []
        self._asked: tuple[str, ...] = ()
        self._answer: tuple[HoldingPower | None, str] = None, ""

    def of(
        self,
        held: Held | None,
        tide_rate: float,
        no_length: Codes | None = None,
        if_slipped: Held | None = None,
        asked: tuple[str, ...] = (),
    ) -> tuple[HoldingPower | None, str]:
        """Return the polar of the instant that `held` was worked out for, and its sentence; `tide_rate` m/h
        says which way the tide goes, `no_length` (lines,) `NoLength` why lines are left out. While brakes of
        lines `asked` are in question, the smaller from each direction of that and of `if_slipped`. (None, "")
        where nothing is worked out."""
        states = [_rest_of(each) for each in (held, if_slipped if asked else None)]
        rests = [each for each in states if each is not None]
        if states[0] is None:
            return None, ""
        same = len(rests) == len(self._rests) and all(map(Rest.is_as, rests, self._rests))
        if asked != self._asked or not same:
            self._answer = polar_in_words(self._basis, rests, tide_rate, no_length, asked=asked)
            self._rests, self._asked = rests, asked
        return self._answer

    def who(
        self, held: Held | None, forecast: Forecast | None, if_slipped: Held | None = None
    ) -> tuple[HeldBy, ...]:
        """Return who holds her at the instant that `held` was worked out for, and at the next high and low
        water by the forecast; while brakes are in question, of each wind in that state or `if_slipped`, the
        one that holds less. Nothing where nothing is worked out."""
        rest, other = _rest_of(held), _rest_of(if_slipped)
        if rest is None:
            return ()
        rests = rest, other, None if forecast is None else forecast.times
        if self._who is None or not _rest_the_same(self._who[0], rests):
            slipped = None if other is None else other.lengths
            ahead = None if forecast is None else HoursAhead.of(forecast)
            self._who = rests, who_holds(self._basis, rest.situation, rest.lengths, ahead, slipped)
        return self._who[1]


def _rest_the_same(before: _WhoRests, now: _WhoRests) -> bool:
    if before[2] is not now[2] or not now[0].is_as(before[0]):
        return False
    return now[1] is before[1] if now[1] is None or before[1] is None else now[1].is_as(before[1])


def polar_in_words(
    basis: Basis,
    rests: Sequence[Rest],
    tide_rate: float = 0.0,
    no_length: Codes | None = None,
    weakest: int = WEAKEST,
    asked: tuple[str, ...] = (),
) -> tuple[HoldingPower, str]:
    """Return the polar at one instant, with what goes next from so many of the weakest directions, and its
    weak spot in a sentence with what the tide to come changes there. `rests` has one state; while brakes of
    lines `asked` are in question two, held and slipped, and the smaller counts from each direction.
    `no_length` (lines,) `NoLength` says why lines are left out; one of which it says nothing is not made
    fast."""
    arrangement, lengths = basis.arrangement, rests[0].lengths
    codes = np.where(np.isnan(lengths), NoLength.NOT_FAST, NoLength.KNOWN)
    if no_length is not None:
        codes = np.where(np.isnan(lengths) & (no_length != NoLength.KNOWN), no_length, codes)
    polars = []
    for each in rests:
        one = holding_power(arrangement, each.situation, each.lengths, basis.criteria)
        polars.append(with_next(arrangement, each.situation, each.lengths, one, weakest, basis.criteria))
    power = replace(reduce(lesser, polars), without=lines_without_length(arrangement.ids, codes))
    both = HeldOrSlipped(asked, *polars) if len(polars) == 2 else None
    governs = rests[1] if both is not None and both.weakest == "slipped" else rests[0]
    metres, words = _tide_to_come(basis, power.time, tide_rate)
    change = None
    if not power.reason and abs(metres) >= LEAST_CHANGE_M:
        then = replace(governs.situation, tide=governs.situation.tide + metres)
        come_from = power.from_deg[[power.weakest]]
        held = holds_from(arrangement, then, governs.lengths, come_from, basis.criteria)
        change = Change(float(held[0]), words)
    return power, holding_sentence(power, basis.stay.display, change, both)


def _rest_of(held: Held | None) -> Rest | None:
    if held is None or held.situation is None or held.lengths is None:
        return None
    return Rest(held.situation, held.lengths)


def _tide_to_come(basis: Basis, now: float, tide_rate: float) -> tuple[float, str]:
    """Return the metres by which the tide will have changed most within the next hours by the tide table, and
    that in words; without a table, two metres on the way that it goes."""
    ahead = now + np.arange(0.0, AHEAD_S + 1.0, 600.0)
    change = np.zeros(1) if basis.tide is None else basis.tide.at(ahead) - basis.tide.at(ahead[:1])
    if basis.tide is None or np.isnan(change).all():
        less = tide_rate < 0.0
        return (
            -MORE_TIDE_M if less else MORE_TIDE_M
        ), f"{MORE_TIDE_M:.1f} m {'less' if less else 'more'} tide"
    most = int(np.nanargmax(np.abs(change)))
    metres = float(change[most])
    return metres, f"{_more_or_less(metres)} by {clock(float(ahead[most]), basis.stay.display)}"


def _more_or_less(metres: float) -> str:
    return f"{abs(metres):.1f} m {'more' if metres > 0.0 else 'less'} tide"
