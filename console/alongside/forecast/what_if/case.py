"""A stay and where she lies now, with changes made: both stay as they are, each change gives new ones.

What a typed text means is `typed`; which line a new or moved one is, `other_leads`; here it takes effect.
"""

from dataclasses import dataclass, replace
from functools import reduce

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.present import Present
from alongside.forecast.what_if.changes import (
    AddLine,
    AddTug,
    Change,
    FastAnew,
    LetGo,
    OtherCurrent,
    OtherTide,
    OtherWind,
    PayOut,
    SetTo,
    Shift,
    StopCargo,
    in_words,
)
from alongside.forecast.what_if.other_leads import moved_line, new_line
from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.one_line_fast import length_made_fast, length_set_to
from alongside.mechanics.reasons import NoLength
from alongside.mechanics.tugs import Tug
from alongside.stay.model import Stay
from alongside.wording.figures import force_text
from alongside.wording.safe import safe


@dataclass(frozen=True, slots=True, eq=False)
class Case:
    """A stay at an instant, with the tugs that are at her."""

    stay: Stay
    present: Present
    tugs: tuple[Tug, ...] = ()

    def with_changes(self, changes: tuple[Change, ...]) -> "Case":
        """Return the case with changes made now, in the order given. Raise WrongInput, with the change, for a
        line, bollard, fairlead, rope or winch that is not there, and for what cannot be done."""
        return reduce(_after, changes, self)

    def basis(self, basis: Basis) -> Basis:
        """Return what to compute with; `basis` is that of the stay before any change."""
        own = basis if self.stay is basis.stay else Basis.of(self.stay)
        return replace(own, arrangement=self._tugged(own.arrangement)) if self.tugs else own

    def arrangement(self) -> Arrangement:
        return self._tugged(arrangement_of(self.stay))

    def _tugged(self, arrangement: Arrangement) -> Arrangement:
        exposure = arrangement.exposure
        return replace(arrangement, exposure=replace(exposure, tugs=(*exposure.tugs, *self.tugs)))


def _after(case: Case, change: Change) -> Case:
    try:
        return _changed(case, change)
    except WrongInput as error:
        raise WrongInput(f"what if {safe(in_words(change, case.stay.display))!r}: {error}") from None


def _changed(case: Case, change: Change) -> Case:
    present = case.present
    match change:
        case OtherWind():
            return replace(case, present=present.in_wind(change.speed, change.come_from))
        case OtherCurrent():
            present = replace(present, current_speed=change.speed, current_to=change.to)
            return replace(case, stay=replace(case.stay, current=()), present=present)
        case OtherTide():
            return replace(case, present=_raised(present, change))
        case StopCargo():
            return replace(case, stay=replace(case.stay, cargo=()), present=replace(present, planned=True))
        case AddTug():
            amidships = case.stay.ship.lbp / 2.0
            tug = Tug(change.on_kn, amidships if change.ship_x is None else change.ship_x)
            return replace(case, tugs=(*case.tugs, tug))
        case AddLine():
            return _added(case, change)
        case LetGo():
            return _with_length(case, _column(case.stay, change.line), np.nan, NoLength.LET_GO)
        case FastAnew():
            return _fast_anew(case, change)
        case PayOut():
            return _paid_out(case, change)
        case SetTo():
            return _set_to(case, change)
        case Shift():
            return _shifted(case, change)


def _raised(present: Present, change: OtherTide) -> Present:
    """Return the present with the water raised; a level by how far it is above the tide now."""
    if change.raised is not None:
        return replace(present, raised_m=present.raised_m + change.raised)
    level = change.level or 0.0
    if np.isnan(present.tide):
        return replace(present, tide=level, raised_m=0.0)
    return replace(present, raised_m=level - present.tide)


def _column(stay: Stay, line: str) -> int:
    ids = [each.id for each in stay.lines]
    if line not in ids:
        raise WrongInput(f"there is no line {safe(line)}, expected one of {', '.join(ids)}")
    return ids.index(line)


def _known_column(case: Case, line: str) -> int:
    """Return the column of a line whose length is known."""
    column = _column(case.stay, line)
    why = dict(case.present.without([each.id for each in case.stay.lines]))
    if line in why:
        raise WrongInput(f"line {safe(line)}: {why[line]}, expected a line whose length is known")
    return column


def _paid_out(case: Case, change: PayOut) -> Case:
    column = _known_column(case, change.line)
    length = float(case.present.unstretched[column] + change.metres)
    if length <= 0.0:
        raise WrongInput(f"line {safe(change.line)}: more to heave in than is out")
    return _with_length(case, column, length)


def _with_length(case: Case, column: int, length: float, why: NoLength = NoLength.IMPOSSIBLE) -> Case:
    """Return the case with another main rope out in one line, m; `why` it has none where that is NaN."""
    lengths, codes = case.present.unstretched.copy(), case.present.why_no_length()
    lengths[column], codes[column] = length, why
    return replace(case, present=replace(case.present, unstretched=lengths, no_length=codes))


def _fast_anew(case: Case, change: FastAnew) -> Case:
    column = _column(case.stay, change.line)
    if case.present.why_no_length()[column] == NoLength.KNOWN:
        raise WrongInput(f"line {safe(change.line)} is fast, expected: {safe(change.line)} to LOAD")
    if change.tension_kn is not None:
        return _made_fast(case, column, change.tension_kn)
    return _with_length(case, column, change.length_m or 0.0)


def _shifted(case: Case, change: Shift) -> Case:
    column = _column(case.stay, change.line)
    line = moved_line(case.stay, case.stay.lines[column], change)
    lines = tuple(line if at == column else each for at, each in enumerate(case.stay.lines))
    moved = replace(case, stay=replace(case.stay, lines=lines))
    return _made_fast(moved, column, change.tension_kn or line.made_fast.tension_kn)


def _added(case: Case, change: AddLine) -> Case:
    stay, present = case.stay, case.present
    like = None if change.like is None else stay.lines[_column(stay, change.like)]
    line = new_line(stay, change, like, present.time, _winches(case))
    codes = np.append(present.why_no_length(), np.int8(NoLength.NOT_FAST)).astype(np.int8)
    lengths = np.append(present.unstretched, np.nan)
    present = replace(present, unstretched=lengths, no_length=codes)
    more = replace(case, stay=replace(stay, lines=(*stay.lines, line)), present=present)
    return _made_fast(more, len(stay.lines), line.made_fast.tension_kn)


def _winches(case: Case) -> dict[str, str]:
    """Return the winches that bear a line, each with that line: a line let go or parted is off its winch."""
    codes = case.present.why_no_length().tolist()
    return {
        line.winch: line.id
        for line, code in zip(case.stay.lines, codes, strict=True)
        if line.winch is not None and code not in (NoLength.LET_GO, NoLength.PARTED)
    }


def _set_to(case: Case, change: SetTo) -> Case:
    column = _known_column(case, change.line)
    tension_kn = _by_cell(case, column) if change.tension_kn is None else change.tension_kn
    return _made_fast(case, column, tension_kn, let_go_first=False)


def _by_cell(case: Case, column: int) -> float:
    """Return what the load cell of a line says, kN."""
    line, display = case.stay.lines[column], case.stay.display
    kn = dict(case.present.cells_kn).get(line.id)
    if kn is None:
        raise WrongInput(f"line {safe(line.id)} has no load cell, or its cell is doubtful or gives no signal")
    if not 0.0 < kn <= line.smallest_mbl_kn:
        load, most = force_text(kn, display), force_text(line.smallest_mbl_kn, display)
        expected = f"expected above 0, at most the MBL {most}"
        raise WrongInput(f"line {safe(line.id)}: its load cell says {load}, {expected}")
    return kn


def _made_fast(case: Case, column: int, tension_kn: float, let_go_first: bool = True) -> Case:
    """Return the case with one line made fast now with a tension, kN, in the balance with the others; without
    `let_go_first` where she lies with its length of before."""
    length_with = length_made_fast if let_go_first else length_set_to
    length = length_with(
        case.arrangement(), case.present.situation(), case.present.unstretched, column, tension_kn
    )
    if np.isnan(length):
        line = safe(case.stay.lines[column].id)
        raise WrongInput(
            f"line {line}: no length of it carries that load there, or where she lies is not known"
        )
    return _with_length(case, column, length)
