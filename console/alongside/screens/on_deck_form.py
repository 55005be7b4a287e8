"""The form that records what happened on deck: a line parted, let go or made fast, a winch brake that slipped
or held, and what was entered wrongly taken back."""

from typing import Final

from alongside.actions import (
    AcceptLearnt,
    Action,
    AddLine,
    AnswerBrake,
    ChangeCargo,
    Correct,
    LetTugGo,
    LineGone,
    MakeFast,
    PutTug,
    RenewLine,
    SetBrake,
    ShiftLine,
)
from alongside.alerts.over_brake import LEAST_M, drum_mark
from alongside.cycle.deck.others import OF_DECISIONS
from alongside.cycle.deck.trial import DeckTrial, tried_on_deck, tried_with_length
from alongside.cycle.line_row import IfSlipped, LineRow
from alongside.cycle.orders_given import last_of
from alongside.errors import WrongInput
from alongside.mechanics.reasons import NoLength
from alongside.screens.accept_learnt import accepted_then, all_accepted, all_taken_back, one_accepted
from alongside.screens.deck_then import NOT_KNOWN, brake_then, cargo_then, refuse_parted, then_text
from alongside.screens.deck_words import BRAKE, WORDS, deck_deed, learnt_words_in
from alongside.screens.form import Form
from alongside.screens.other_words import named_in, other_deed, subject_of
from alongside.screens.outcomes import Entered, Several
from alongside.screens.refusal import Refused
from alongside.screens.view import View, chosen_line
from alongside.wording.cautions import CLEAR_DECK
from alongside.wording.figures import force_text, metres
from alongside.wording.safe import safe
from alongside.wording.times import clock

GONE: Final = (NoLength.PARTED, NoLength.LET_GO)
TRIED: Final = (LineGone, MakeFast, ShiftLine, AddLine, RenewLine, SetBrake, PutTug, LetTugGo)
"""Deeds of which it is first said what lines carry then."""


OTHERS = "call master, cargo stopped, tug 30 on"
ORDERED = "call tugs, call pilot, call gang, cargo stopped, transfer disconnected; call take back"


class OnDeckForm(Form):
    follows = True
    fields = (("line", "Line", 8), ("what", "what happened", 32), ("by", "initials", 6))

    def start_values(self, view: View) -> dict[str, str]:
        row = _meant(view)
        return {"line": row.id if row else ""}

    def hint(self, view: View) -> str:
        row = _meant(view)
        if any(each.is_open for each in view.watch.due):
            return ORDERED
        if row is None or row.asked is None:
            return f"{WORDS}; {OTHERS}"
        return f"{BRAKE}    drum: {drum_mark(row.asked.ran_out_m, row.asked.or_more)} if it slipped"

    def typed(self, view: View, values: dict[str, str]) -> str:
        """Return the caution for whoever goes to look."""
        return f"{CLEAR_DECK[:1].upper()}{CLEAR_DECK[1:]}"

    def read(self, view: View, values: dict[str, str]) -> tuple[Action | Several, str]:
        by = safe(values["by"]).strip()
        if not by:
            raise Refused("no initials; expected those of who looked")
        stay, what = view.watch.stay, values["what"]
        subject = subject_of(stay, values["line"])
        if subject is None:
            subject, what = named_in(what)
        if subject is not None:
            return _of_others(view, *other_deed(stay, view.watch.deck, subject, what, by))
        if (deeds := _of_learnt(view, values["line"], what, by)) is not None:
            return deeds
        action, words = deck_deed(stay, values["line"], what, by)
        if isinstance(action, Correct):
            row = _row(view, action.line)
            if row.last_deed is None:
                raise Refused(f"nothing was entered of line {safe(row.id)} that can be taken back")
            at = clock(row.last_deed.time, view.stay.display)
            return action, f"line {safe(row.id)}: take back: {safe(row.last_deed.words)}, {at}"
        if isinstance(action, AnswerBrake):
            return action, _brake_words(_row(view, action.line), action, words)
        if isinstance(action, LineGone) and _row(view, action.line).no_length in GONE:
            raise Refused(f"line {safe(action.line)} is gone already")
        _try(view, action)
        return action, words

    def effect(self, view: View, entered: Entered) -> str:
        """Return what lines carry then."""
        accepts = entered.deeds if isinstance(entered, Several) else (entered,)
        if accepted := [each for each in accepts if isinstance(each, AcceptLearnt)]:
            return accepted_then(view, accepted)
        if isinstance(entered, AnswerBrake):
            row = _row(view, entered.line)
            return f"Then {then_carries(view, row, row.asked, entered)}" if row.asked is not None else ""
        if isinstance(entered, Correct):
            of_line = any(row.id == entered.line for row in view.watch.lines)
            return _without_last(view, _row(view, entered.line)) if of_line else ""
        if isinstance(entered, ChangeCargo):
            return cargo_then(view, entered)
        if not isinstance(entered, TRIED):
            return ""
        trial = _try(view, entered)
        if trial is None:
            return NOT_KNOWN
        if isinstance(entered, SetBrake):
            return brake_then(trial, entered, view)
        return then_text(trial, getattr(entered, "line", ""), view)


def _of_learnt(view: View, line: str, what: str, by: str) -> tuple[Action | Several, str] | None:
    """Return what was typed of what loads show of lines; None where it is of something else."""
    match learnt_words_in(what):
        case "accept":
            deed, words = one_accepted(view, line, by)
            accepted_then(view, [deed])  # raises where a line would part
            return deed, words
        case "accept all":
            return all_accepted(view.watch.learnt, by)
        case "take back all":
            return all_taken_back(view, by)
        case _:
            return None


def _of_others(view: View, action: Action, words: str) -> tuple[Action, str]:
    """Return what was typed of tugs, cargo, transfer or calls with what is taken back named. Raise Refused
    where it cannot be."""
    if isinstance(action, Correct):
        last = _last_of(view, action.line)
        if last is None:
            raise Refused(f"nothing was entered of {action.line} that can be taken back")
        return action, f"{action.line}: take back: {safe(last[0])}, {clock(last[1], view.stay.display)}"
    if isinstance(action, ChangeCargo):
        cargo_then(view, action)  # raises where it cannot be
    return action, words


def _last_of(view: View, subject: str) -> tuple[str, float] | None:
    """Return what was entered last of tugs, cargo, transfer or calls, and when; None for nothing."""
    if subject in OF_DECISIONS:
        given = last_of(view.watch.decided.answers, subject)
        return None if given is None else (given.words, given.at)
    deeds = [deed for deed in view.watch.other_deeds if deed.subject == subject]
    return (deeds[-1].words, deeds[-1].time) if deeds else None


def then_carries(view: View, row: LineRow, asked: IfSlipped, answer: AnswerBrake) -> str:
    """Return the load of a line after an answer: of one of the two states, or of neither."""
    if answer.did == "held":
        return f"line {safe(row.id)} carries {force_text(row.tension_kn, view.stay.display)}"
    if answer.metres is None:
        return f"line {safe(row.id)} carries {force_text(asked.tension_kn, view.stay.display)}"
    either = sorted((row.tension_kn, asked.tension_kn), reverse=True)
    figures = " or ".join(force_text(kn, view.stay.display) for kn in either)
    return f"line {safe(row.id)} is {metres(answer.metres)} longer (expected {figures})"


def _try(view: View, action: Action) -> DeckTrial | None:
    """Return what lines carry after a deed; None where nothing is known now. Raise Refused for one that
    cannot be done, or that would part a line: that is a slip of the finger."""
    present = view.watch.present
    if present is None:
        return None
    try:
        trial = tried_on_deck(view.watch.stay, present, view.watch.deck, action)
    except WrongInput as error:
        raise Refused(str(error).partition("': ")[2] or str(error)) from None
    if trial is None or not hasattr(action, "line"):
        return trial
    refuse_parted(trial, trial.ids.index(action.line), view)
    return trial


def _without_last(view: View, row: LineRow) -> str:
    present = view.watch.present
    if present is None or row.last_deed is None:
        return NOT_KNOWN
    trial = tried_with_length(view.watch.stay, present, row.id, row.last_deed.unstretched_m)
    return then_text(trial, row.id, view)


def _brake_words(row: LineRow, answer: AnswerBrake, words: str) -> str:
    if answer.did == "held":
        return words
    slipped = answer.metres
    if slipped is None:
        if row.asked is None:
            raise Refused("nothing is asked of its brake; expected the metres, such as: slipped 0.30")
        slipped = row.asked.ran_out_m
        if slipped < LEAST_M:
            raise Refused("metres not known; expected those seen, such as: slipped 0.30")
    return f"{words} {metres(slipped)}"


def _meant(view: View) -> LineRow | None:
    """Return the line whose brake is in question: the chosen one, else the first; else the chosen line."""
    chosen = chosen_line(view)
    asked = [row for row in view.watch.lines if row.asked is not None]
    if chosen is not None and any(row.id == chosen.id for row in asked):
        return next(row for row in asked if row.id == chosen.id)
    return asked[0] if asked else chosen


def _row(view: View, name: str) -> LineRow:
    return next(row for row in view.watch.lines if row.id == name)
