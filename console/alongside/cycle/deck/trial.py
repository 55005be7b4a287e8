"""What lines would carry after a deed on deck, before it is entered: in the balance of now."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from alongside.actions import (
    AcceptLearnt,
    Action,
    AddLine,
    LetTugGo,
    LineGone,
    MakeFast,
    NameRope,
    PutTug,
    RenewLine,
    SetBrake,
    ShiftLine,
)
from alongside.cycle.deck.altered import OnDeck, shifted
from alongside.cycle.deck.named_ropes import rig_named
from alongside.cycle.deck.new_line import line_put_out, renewed
from alongside.errors import WrongInput
from alongside.forecast.present import Present
from alongside.forecast.what_if.case import Case
from alongside.forecast.what_if.changes import FastAnew, LetGo
from alongside.mechanics.hold import hold
from alongside.mechanics.one_line_fast import length_made_fast
from alongside.mechanics.reasons import NoAnswer, NoLength
from alongside.readings import Floats
from alongside.stay.learnt import taught
from alongside.stay.model import Learnt, Line, Stay, TugAlongside


@dataclass(frozen=True, slots=True, eq=False)
class DeckTrial:
    """Lines of the stay after the deed, `ids`: (lines,) kN, share of WLL and main rope m, NaN where a line
    has none; the load now, kN, NaN for a line that is new; whether nothing keeps her near the berth then."""

    stay: Stay
    tension_kn: Floats
    load_share: Floats
    unstretched_m: Floats
    now_kn: Floats
    adrift: bool

    @property
    def ids(self) -> tuple[str, ...]:
        return tuple(line.id for line in self.stay.lines)


def tried_on_deck(stay: Stay, present: Present, deck: OnDeck, action: Action) -> DeckTrial | None:
    """Return what lines carry with a deed done now; None for one of which nothing is calculated. Raise
    WrongInput for what cannot be done."""
    now = Case(stay, present)
    match action:
        case LineGone():
            return _of(now, now.with_changes((LetGo(action.line),)))
        case MakeFast():
            return _of(now, now.with_changes((FastAnew(action.line, action.tension_kn, action.length_m),)))
        case ShiftLine():
            at = _column(stay, action.line)
            line = shifted(stay, stay.lines[at], action.fairlead, action.bollard)
            return _of(now, _made_fast(now, line, action))
        case RenewLine():
            at = _column(stay, action.line)
            return _of(now, _made_fast(now, renewed(stay, stay.lines[at], action, present.time), action))
        case AddLine():
            gone = [code in (NoLength.PARTED, NoLength.LET_GO) for code in present.why_no_length()]
            line = line_put_out(stay, gone, action, present.time)
            return _of(now, _made_fast(_with_place(now, line), line, action))
        case NameRope():
            line = stay.lines[_column(stay, action.line)]
            rig_named(stay, line, deck.rig(line.id), action.serial)  # raises where it cannot be
            return None
        case SetBrake():
            return _of(now, now)
        case PutTug() | LetTugGo():
            tugs = [each.tug for each in deck.tugs if each.name != action.tug]
            if isinstance(action, PutTug):
                tugs.append(TugAlongside(action.on_kn, action.ship_x))
            return _of(now, replace(now, stay=replace(stay, tugs=tuple(tugs))))
        case _:
            return None


def _column(stay: Stay, line: str) -> int:
    return [each.id for each in stay.lines].index(line)


def _with_place(case: Case, line: Line) -> Case:
    """Return the case with one more line, which is not fast yet."""
    present = case.present
    codes = np.append(present.why_no_length(), np.int8(NoLength.NOT_FAST)).astype(np.int8)
    present = replace(present, unstretched=np.append(present.unstretched, np.nan), no_length=codes)
    return replace(case, stay=replace(case.stay, lines=(*case.stay.lines, line)), present=present)


def _with_learnt(case: Case, action: AcceptLearnt) -> Case:
    """Return the case once what was learnt of a line is accepted."""
    at, lines, lengths = (
        _column(case.stay, action.line),
        list(case.stay.lines),
        case.present.unstretched.copy(),
    )
    lines[at] = taught(lines[at], Learnt(action.stiffness, action.stiffness_band))
    lengths[at] += action.longer_m
    present = replace(case.present, unstretched=lengths)
    return replace(case, stay=replace(case.stay, lines=tuple(lines)), present=present)


def _made_fast(case: Case, line: Line, action: AddLine | ShiftLine | RenewLine) -> Case:
    """Return the case with a line made fast as it is then. Raise WrongInput where no length carries that."""
    at, stay = _column(case.stay, line.id), case.stay
    stay = replace(stay, lines=(*stay.lines[:at], line, *stay.lines[at + 1 :]))
    there, out = replace(case, stay=stay), case.present.unstretched
    length = action.length_m
    if length is None:
        load = action.tension_kn or line.made_fast.tension_kn
        length = length_made_fast(there.arrangement(), case.present.situation(), out, at, load)
    if not length > 0.0:
        raise WrongInput("no length of it carries that load there, or where she lies is not known")
    lengths = out.copy()
    lengths[at] = length
    return replace(there, present=replace(case.present, unstretched=lengths))


def tried_learnt(stay: Stay, present: Present, accepted: Sequence[AcceptLearnt]) -> DeckTrial:
    """Return what lines carry once what was learnt of some is accepted, of all at once."""
    now = then = Case(stay, present)
    for each in accepted:
        then = _with_learnt(then, each)
    return _of(now, then)


def tried_with_length(stay: Stay, present: Present, line: str, unstretched_m: float) -> DeckTrial:
    """Return what lines carry if one had another main rope out, m, NaN for none."""
    at = [each.id for each in stay.lines].index(line)
    lengths, codes = present.unstretched.copy(), present.why_no_length()
    lengths[at], codes[at] = unstretched_m, NoLength.LET_GO
    now = Case(stay, present)
    return _of(now, replace(now, present=replace(present, unstretched=lengths, no_length=codes)))


def _of(now: Case, then: Case) -> DeckTrial:
    before = hold(now.arrangement(), now.present.situation(), now.present.unstretched)
    after = hold(then.arrangement(), then.present.situation(), then.present.unstretched)
    new = len(then.stay.lines) - len(now.stay.lines)
    return DeckTrial(
        then.stay,
        after.lines.tension_kn[0],
        after.lines.load_share[0],
        then.present.unstretched,
        np.append(before.lines.tension_kn[0], [np.nan] * new),
        bool(after.reason[0] == NoAnswer.NOTHING_HOLDS),
    )
