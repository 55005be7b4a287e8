"""Sets of lines to try: those that are fast, without one or with one more, which is made fast now."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import Any, Final

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.present import Present
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.holding import WeakSpot, directions, name_of, why_not
from alongside.mechanics.holding_around import sectors
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.line_sets import LineSets, Whole
from alongside.mechanics.reasons import NoLength
from alongside.mechanics.settled_lengths import sets_settled
from alongside.mechanics.usage import LIMITS
from alongside.readings import Codes, Floats
from alongside.stay.model import Line

AT_ONCE: Final = 12
"""Extra lines in one arrangement: each set has one of them."""
ROUNDING: Final = 1e-9
TIE_MS: Final = 0.05
"""What is held within so much is the same: then names decide."""
TRIED_FIRST: Final = 4
APART: Final = 4
"""Steps of 5 deg by which directions that are tried first lie apart."""


@dataclass(frozen=True, slots=True, eq=False)
class Trial:
    """Sets of lines, each with a line of `lines` more than now (and without another where one was moved),
    and the main rope of that line, m, NaN where no balance has it."""

    sets: LineSets
    lines: tuple[Line, ...]
    lengths: Floats

    def usable(self, now_share: float) -> Whole:
        """Return the sets in which nothing is over a limit in the wind of now that is not so already."""
        share = self.sets.usage().share
        return np.flatnonzero(share <= max(1.0, now_share) + ROUNDING)


def check_known(basis: Basis, present: Present) -> None:
    """Raise WrongInput where what is held cannot be known."""
    why = why_not(basis.arrangement, present.situation())
    if why:
        raise WrongInput(f"{basis.stay.file}: what the lines hold is not known: {why}")
    if np.isnan(present.unstretched).all():
        raise WrongInput("no line is made fast, expected at least one")


def sets_now(basis: Basis, present: Present) -> LineSets:
    """Return the one set of lines that are fast."""
    arrangement = basis.seeking_balance().arrangement
    return LineSets(arrangement, present.situation(), present.unstretched[None, :], basis.criteria)


def trials_of(
    basis: Basis, present: Present, lines: Sequence[Line], instead_of: Sequence[int] | None = None
) -> list[Trial]:
    """Return trials of one more line each, made fast now in the balance with the others; `instead_of` the
    column of the line that each is in place of, which is let go first."""
    parts = range(0, len(lines), AT_ONCE)
    return [
        _trial(
            basis,
            present,
            lines[at : at + AT_ONCE],
            None if instead_of is None else instead_of[at : at + AT_ONCE],
        )
        for at in parts
    ]


def _trial(basis: Basis, present: Present, lines: Sequence[Line], instead_of: Sequence[int] | None) -> Trial:
    stay = replace(basis.stay, lines=(*basis.stay.lines, *lines))
    arrangement = replace(arrangement_of(stay), exposure=basis.arrangement.exposure, balanced=True)
    count, before = len(lines), present.unstretched.size
    lengths = np.full((count, before + count), np.nan)
    lengths[:, :before] = present.unstretched
    if instead_of is not None:
        lengths[np.arange(count), list(instead_of)] = np.nan
    load, own = np.full(lengths.shape, np.nan), np.arange(count)
    load[own, before + own] = [line.made_fast.tension_kn for line in lines]
    here = present.situation()
    loads, _ = loads_of(arrangement.exposure, here)
    made = sets_settled(arrangement, here, lengths, load, loads, held_along=False)
    lengths[own, before + own] = np.where(made.settles, made.unstretched[own, before + own], np.nan)
    return Trial(
        LineSets(arrangement, here, lengths, basis.criteria), tuple(lines), lengths[own, before + own]
    )


def weak_spot(sets: LineSets, held: Floats, limit: Whole, where: Whole, come_from: Floats) -> WeakSpot:
    """Return the weakest of d directions of one set, with what gives first there."""
    at = int(held.argmin())
    gives = LIMITS[int(limit[at])] if held[at] < CAP_MS else None
    name = None if gives is None else name_of(sets.arrangement, gives, int(where[at]))
    return WeakSpot(gives, name, float(held[at]), float(come_from[at]))


def tried_first(held: Floats) -> Whole:
    """Return some of the 72 directions by number: the weakest of now, and the next weakest ones that are some
    way off those before."""
    chosen: list[int] = []
    for at in np.argsort(held, kind="stable").tolist():
        away = (min(abs(at - each), held.size - abs(at - each)) for each in chosen)
        if min(away, default=inf) >= APART:
            chosen.append(at)
        if len(chosen) == TRIED_FIRST:
            break
    return np.array(chosen, dtype=np.intp)


def sector(come_from: float) -> Whole:
    """Return the numbers of the 72 directions from which a wind may gust that blows from `come_from`."""
    first, last = sectors(np.array([come_from]))
    return np.asarray(np.arange(first[0], last[0] + 1) % directions().size, dtype=np.intp)


def with_line(
    basis: Basis, present: Present, line: Line, length: float, instead_of: int | None = None
) -> tuple[Basis, Present]:
    """Return basis and present with one more line that is fast with `length` of main rope, m; or with it in
    place of the line in a column."""
    at = len(basis.stay.lines) if instead_of is None else instead_of
    lines = (*basis.stay.lines[:at], line, *basis.stay.lines[at + 1 :])

    def put(values: Floats | Codes, value: float) -> Any:
        longer = np.append(values, value) if at == values.size else values.copy()
        longer[at] = value
        return longer.astype(values.dtype)

    more = Basis.of(replace(basis.stay, lines=lines))
    more = replace(more, arrangement=replace(more.arrangement, exposure=basis.arrangement.exposure))
    slipped = None if present.slipped is None else put(present.slipped, length)
    codes = put(present.why_no_length(), NoLength.KNOWN)
    lengths = put(present.unstretched, length)
    return more, replace(present, unstretched=lengths, no_length=codes, slipped=slipped)
