"""What the watch has ordered of what is to be decided: which deed gives which order, how long that stands,
and what is taken back.

Deeds that give none are kept beside those that do: whoever takes back the last call, or the last deed of the
cargo, means that one, and not an order that was given before it.
"""

from dataclasses import dataclass
from math import inf, nan
from typing import Final

from alongside.actions import Action, CallOut, ChangeCargo, LetTugGo, PutTug, SayTransfer
from alongside.cycle.deck.others import CALL, CARGO, TRANSFER, TUG
from alongside.stay.model import Order, Stay
from alongside.wording.actions import called_words, transfer_words

SERVES_S: Final = 12 * 3600.0
"""So long what was ordered is taken to stand. Common practice, no source: a watch and a half."""
MOST: Final = 50
CALLS: Final[dict[str, Order]] = {"tugs": "tugs", "pilot": "pilot", "linesmen": "gang"}
"""Which order a call answers."""
SUBJECTS: Final = (CALL, CARGO, TRANSFER, TUG)
"""What a correction may name of these deeds, unless a line has that name."""


@dataclass(frozen=True, slots=True)
class Answered:
    """A deed at UNIX s that gives an order, None for none, and by whom; `of` which subject it is, in `words`.
    `ends`: an order that is as if it had not been given from then on."""

    order: Order | None
    at: float
    by: str = ""
    of: str = CALL
    words: str = ""
    ends: Order | None = None


Answers = tuple[Answered, ...]
"""In the order in which they were entered."""


def answer_of(action: Action, now: float) -> Answered | None:
    """Return which order a deed of the watch gives; None for none."""
    deed = _deed_of(action, now)
    return None if deed is None or deed.order is None else deed


def answers_after(answers: Answers, action: Action, now: float) -> Answers:
    """Return what was entered so far with one deed more."""
    deed = _deed_of(action, now)
    return answers if deed is None else (*answers, deed)[-MOST:]


def _deed_of(action: Action, now: float) -> Answered | None:
    match action:
        case CallOut(whom, by=by):
            return Answered(CALLS.get(whom), now, by, CALL, f"called {called_words(action)}")
        case ChangeCargo(what, operation, by=by):
            if what == "begun":
                return Answered(None, now, by, CARGO, ends="stop_cargo")
            return Answered("stop_cargo" if (what, operation) == ("stopped", "") else None, now, by, CARGO)
        case SayTransfer(connected, by):
            words = transfer_words(action)
            if connected:
                return Answered(None, now, by, TRANSFER, words, ends="disconnect")
            return Answered("disconnect", now, by, TRANSFER, words)
        case PutTug(by=by):
            return Answered(None, now, by, TUG)
        case LetTugGo(by=by):
            return Answered(None, now, by, TUG, ends="tugs")
    return None


def given(answers: Answers, order: Order, stay: Stay, now: float) -> Answered:
    """Return when an order was given, UNIX s, and by whom; minus infinity for tugs that are there, NaN where
    it was not, or longer ago than it serves."""
    if order == "tugs" and stay.tugs:
        return Answered(order, -inf)
    last = next((each for each in reversed(answers) if order in (each.order, each.ends)), None)
    stands = last is not None and last.order == order and last.at >= now - SERVES_S
    return last if last is not None and stands else Answered(order, nan)


def last_of(answers: Answers, subject: str) -> Answered | None:
    """Return what was entered last of a subject; None where nothing may be taken back."""
    return next((each for each in reversed(answers) if each.of == subject), None)


def without(answers: Answers, deed: Answered | None) -> Answers:
    """Return what was entered as if one deed had not been."""
    return tuple(each for each in answers if each is not deed)
