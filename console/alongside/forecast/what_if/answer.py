"""What if: changes made now, beside things as they stand, at this instant and over the hours ahead.

Calculation only: nothing is changed.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf, nan

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.model import Forecast
from alongside.forecast.present import Present
from alongside.forecast.what_if.ahead_of import AheadChange, ahead_change
from alongside.forecast.what_if.case import Case
from alongside.forecast.what_if.changes import WEATHER, Change, OtherCurrent, in_words
from alongside.forecast.what_if.losses import (
    Figure,
    LineSet,
    figures,
    line_sets,
    not_above,
    only_takes,
)
from alongside.forecast.what_if.state_now import StateNow
from alongside.forecast.what_if.verdict import Compared, Verdict, Word, verdict
from alongside.mechanics.holding import BrakesDid


@dataclass(frozen=True, slots=True, eq=False)
class LineNow:
    """One line before and after, NaN where it is not there or nothing is known: stretch and load by what is
    allowed, load kN, angle down deg."""

    line: str
    stretch_share: tuple[float, float]
    load_share: tuple[float, float]
    tension_kn: tuple[float, float]
    vertical_deg: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class WhatIf:
    """The answer: the instant it is for, as things stand and with the changes; both forecasts, None where the
    hours ahead were not asked for."""

    changes: tuple[Change, ...]
    words: str
    now: StateNow
    then: StateNow
    figures: tuple[Figure, ...]
    sets: tuple[LineSet, ...]
    verdict: Verdict
    as_it_stands: Forecast | None
    changed: Forecast | None
    ahead: AheadChange
    """What the deeds change in the hours ahead, in the weather that is asked with them."""
    brakes: tuple[str, ...] = ()
    """Lines whose brakes are in question."""
    if_brakes: BrakesDid = ""
    """The state of these that all of it is of: the one in which the verdict is worse, else in which less is
    held with the changes."""
    same_word: bool | None = None
    """Whether the word is the same in the other state; None where that is not known."""

    @property
    def time(self) -> float:
        """Return the instant it is for, UNIX s."""
        return self.now.time

    @property
    def lines(self) -> tuple[LineNow, ...]:
        """Return every line, those that are new last."""
        return tuple(_line_now(line, self.now, self.then) for line in self.then.lines)


def what_if(
    basis: Basis,
    present: Present,
    changes: Sequence[Change],
    far: Far | None = None,
    as_it_stands: Forecast | None = None,
    ahead: bool = True,
) -> WhatIf:
    """Return what changes made now, in the order given, lead to. Raise WrongInput for a line, bollard,
    fairlead, rope or winch that is not there. `as_it_stands`: the forecast from this very present, where that
    is known already; without `ahead` only this instant is worked out. While brakes are in question both
    states are judged, and the worse is the answer."""
    held = _in_one_state(basis, present, changes, far, as_it_stands, ahead)
    other = present.if_slipped()
    if other is None:
        return replace(held, brakes=present.asked, if_brakes="held" if present.asked else "")
    slipped = _in_one_state(basis, other, changes, far, None, ahead)
    same = slipped.verdict.word is held.verdict.word
    if _badness(slipped) < _badness(held):
        return replace(slipped, brakes=present.asked, if_brakes="slipped", same_word=same)
    return replace(held, brakes=present.asked, if_brakes="held", same_word=same)


def _badness(result: WhatIf) -> tuple[int, float]:
    """Return how an answer ranks, the worst first: its word, then what is held with the changes."""
    power = result.then.power
    return list(Word).index(result.verdict.word), inf if power.reason else float(power.holds_ms.min())


def _in_one_state(
    basis: Basis,
    present: Present,
    changes: Sequence[Change],
    far: Far | None,
    as_it_stands: Forecast | None,
    ahead: bool,
) -> WhatIf:
    """Return the answer with the lengths of the present as they are."""
    those = tuple(changes)
    case = Case(basis.stay, present).with_changes(those)
    after_basis = case.basis(basis)
    now, then = StateNow.of(basis, present), StateNow.of(after_basis, case.present)
    weather = tuple(each for each in those if isinstance(each, WEATHER))
    deeds = tuple(each for each in those if not isinstance(each, WEATHER))
    alone_basis, alone_present, alone = basis, present, now
    if weather and deeds:
        without = Case(basis.stay, present).with_changes(weather)
        alone_basis, alone_present = without.basis(basis), without.present
        alone = StateNow.of(alone_basis, alone_present)
    takes = deeds and only_takes(deeds) and (alone.fast - then.fast or then.slack - alone.slack)
    if takes:
        then = replace(then, power=not_above(then.power, alone.power))
    before = after = before_alone = None
    if ahead:
        before = look_ahead(basis, present, far) if as_it_stands is None else as_it_stands
        after = look_ahead(after_basis, case.present, far)
        before_alone = before if alone is now else look_ahead(alone_basis, alone_present, far, tend=False)
    takes_from = before_alone if takes else None
    compared = _compared(those, now, then, ahead_change(before, after, takes_from))
    judged = compared
    if alone is not now:
        judged = _compared(deeds, alone, then, ahead_change(before_alone, after, takes_from))
    return WhatIf(
        changes=those,
        words=", ".join(in_words(each, basis.stay.display) for each in those),
        now=now,
        then=then,
        figures=compared.figures,
        sets=compared.sets,
        verdict=_judged(compared, judged),
        ahead=judged.ahead,
        as_it_stands=before,
        changed=after,
    )


def _compared(those: tuple[Change, ...], before: StateNow, after: StateNow, ahead: AheadChange) -> Compared:
    return Compared(those, before, after, figures(before, after, ahead), line_sets(before, after), ahead)


def _judged(compared: Compared, deeds: Compared) -> Verdict:
    """Return the verdict; not known where a change does not enter what is calculated at all. `deeds` is what
    is done, compared in the weather that comes with it: the same where nothing of that changes."""
    current = compared.before.basis.arrangement.exposure.current
    if any(isinstance(each, OtherCurrent) for each in compared.changes) and current is None:
        return Verdict(Word.NOT_KNOWN, why="current coefficients of the ship not given")
    return verdict(compared, deeds)


def _line_now(line: str, now: StateNow, then: StateNow) -> LineNow:
    def both(name: str) -> tuple[float, float]:
        return _value(now, name, line), _value(then, name, line)

    return LineNow(line, both("stretch_share"), both("load_share"), both("tension_kn"), both("vertical_deg"))


def _value(state: StateNow, name: str, line: str) -> float:
    if line not in state.lines:
        return nan
    return float(np.asarray(getattr(state.hold.lines, name))[0, state.lines.index(line)])
