"""The life of each rope and tail: its uses in all stays together."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import nan

import numpy as np

from alongside.errors import WrongInput
from alongside.readings import Floats
from alongside.record.ropes.parts import Part
from alongside.record.ropes.turning import turning_points
from alongside.record.ropes.use import Use
from alongside.reports.ropes.cycles import cycles_by_class
from alongside.units import iso_time


@dataclass(frozen=True, slots=True)
class Life:
    """`part` is the rope or tail as it was used last. `hours_made_fast` counts from making fast to the end of
    the record, watched or not; `hours_known` those with its load on record, on which all the rest goes."""

    part: Part
    stays: int
    """Times it was made fast."""
    lines: tuple[str, ...]
    first: float
    last: float
    hours_made_fast: float
    hours_known: float
    hours_carried: float
    """With more load than a line has that hangs slack."""
    hours_above_wll: float
    peak_kn: float
    peak_at: float
    cycles: tuple[float, ...]
    """By class of range, see `alongside.reports.ropes.cycles`."""

    @property
    def peak_share_wll(self) -> float:
        return self.peak_kn / self.part.wll_kn

    @property
    def peak_share_mbl(self) -> float:
        return self.peak_kn / self.part.rope.mbl_kn


def lives_of(uses: Iterable[Use]) -> tuple[Life, ...]:
    """Return lives in order of their keys. Raises WrongInput where one rope would have been in two places at
    once, as when the same record is given twice, or where two ropes have one serial number."""
    ordered = sorted(uses, key=lambda use: (in_order(use.part.key), use.fast_at, use.since))
    lives: list[Life] = []
    for key, of_one in groupby(ordered, key=lambda use: use.part.key):
        together = tuple(of_one)
        _agree(key, together)
        lives.append(life_of(together))
    return tuple(lives)


def in_order(key: str) -> list[tuple[bool, int, str]]:
    """`line 2` before `line 10`."""
    pieces = re.split(r"(\d+)", key)
    return [(piece.isdecimal(), int(piece) if piece.isdecimal() else 0, piece) for piece in pieces]


def life_of(uses: Sequence[Use]) -> Life:
    """Return the life of one rope or tail by its uses, at least one, in order of time."""
    last = uses[-1]
    peak = max((use for use in uses if use.peak_kn == use.peak_kn), key=lambda use: use.peak_kn, default=None)
    fast = [list(times) for _, times in groupby(uses, key=lambda use: (use.part.line, use.fast_at))]
    return Life(
        last.part,
        stays=len(fast),
        lines=tuple(dict.fromkeys(use.part.line for use in uses)),
        first=uses[0].fast_at,
        last=max(use.until for use in uses),
        hours_made_fast=sum(max(use.until for use in one) - one[0].fast_at for one in fast) / 3600.0,
        hours_known=sum(use.known_s for use in uses) / 3600.0,
        hours_carried=sum(use.carried_s for use in uses) / 3600.0,
        hours_above_wll=sum(use.above_wll_s for use in uses) / 3600.0,
        peak_kn=nan if peak is None else peak.peak_kn,
        peak_at=nan if peak is None else peak.peak_at,
        cycles=cycles_by_class(history(fast).tolist(), last.part.rope.mbl_kn),
    )


def history(fast: Iterable[Sequence[Use]]) -> Floats:
    """Return the turning points of the load over a life. Each making fast begins and ends at no load, for
    between two the rope was not in use."""
    pieces = [np.zeros(1)]
    for one in fast:
        pieces += [*(use.turns for use in one), np.zeros(1)]
    return turning_points(np.concatenate(pieces))


def _agree(key: str, uses: Sequence[Use]) -> None:
    """Raise WrongInput where uses cannot be those of one rope."""
    for before, after in pairwise(uses):
        if before.part.rope.mbl_kn != after.part.rope.mbl_kn or before.part.rope.kind != after.part.rope.kind:
            raise WrongInput(
                f"{key}: {before.part.rope.kind} of {before.part.rope.mbl_kn:g} kN in one stay, "
                f"{after.part.rope.kind} of {after.part.rope.mbl_kn:g} kN in another, expected one rope"
            )
        same = (before.part.line, before.fast_at) == (after.part.line, after.fast_at)
        begins = after.since if same else after.fast_at
        if begins < before.until:
            raise WrongInput(
                f"{key}: in line {after.part.line} from {iso_time(begins)} on, but in {before.part.line} "
                f"until {iso_time(before.until)}, expected one place at a time and each record once"
            )
