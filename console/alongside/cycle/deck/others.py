"""What was done to tugs and to the cargo, and taken back."""

from dataclasses import replace
from typing import Final

from alongside.actions import ChangeCargo, Correct, LetTugGo, PutTug
from alongside.alerts.model import Event
from alongside.cycle.deck.altered import CargoNow, NamedTug, OnDeck
from alongside.cycle.deck.cargo import plan_after
from alongside.cycle.deck.model import MOST_DEEDS, OtherDeed
from alongside.cycle.deck.notes import by_whom, taken_back_event
from alongside.cycle.lengths import Lengths
from alongside.errors import WrongInput
from alongside.stay.model import Stay, TugAlongside
from alongside.wording.figures import figure, force_text
from alongside.wording.safe import safe

TUG, CARGO = "tug", "cargo"
OTHERS: Final = (TUG, CARGO)
"""What else a correction may name, unless a line has that name."""
CALL, TRANSFER = "call", "transfer"
OF_DECISIONS: Final = (CALL, TRANSFER)
"""The same, of what `cycle.decide_memory` keeps."""
Changed = tuple[Lengths, tuple[Event, ...]]


def done_to_others(
    stay: Stay, lengths: Lengths, now: float, action: PutTug | LetTugGo | ChangeCargo | Correct
) -> Changed:
    """Do what was entered of tugs and cargo at one instant; `stay` is the stay as it is now."""
    if isinstance(action, Correct):
        return _corrected(stay, lengths, now, action)
    subject = CARGO if isinstance(action, ChangeCargo) else TUG
    try:
        deck, words = _after(stay, lengths.deck, now, action)
    except WrongInput as error:
        return lengths, (Event(now, "note", text=f"{subject.capitalize()}: not done: {error}"),)
    same = [deed for deed in lengths.other_deeds if deed.subject == subject]
    kept = tuple(deed for deed in lengths.other_deeds if len(same) < MOST_DEEDS or deed is not same[0])
    deed = OtherDeed(subject, now, words, lengths.deck)
    after = replace(lengths, deck=deck, other_deeds=(*kept, deed))
    return after, (Event(now, "note", text=f"{words[:1].upper()}{words[1:]}{by_whom(action.by)}"),)


def last_other_deed(lengths: Lengths, subject: str) -> OtherDeed | None:
    """Return what was entered last of tugs or cargo; None where nothing may be taken back."""
    return next((deed for deed in reversed(lengths.other_deeds) if deed.subject == subject), None)


def _after(
    stay: Stay, deck: OnDeck, now: float, action: PutTug | LetTugGo | ChangeCargo
) -> tuple[OnDeck, str]:
    """Return what is on deck after a deed, and the deed in words. Raise WrongInput for what cannot be."""
    match action:
        case PutTug():
            if not 0.0 <= action.ship_x <= stay.ship.loa:
                raise WrongInput(f"{action.ship_x:g} m is not on the ship")
            tug = NamedTug(action.tug, TugAlongside(action.on_kn, action.ship_x))
            tugs = (*(each for each in deck.tugs if each.name != action.tug), tug)
            way = "pushing on" if action.on_kn >= 0.0 else "pulling off"
            load = force_text(abs(action.on_kn), stay.display)
            at = f"at {figure(action.ship_x, 1)} m"
            return replace(deck, tugs=tugs), f"tug {safe(action.tug)} {way} with {load} {at}"
        case LetTugGo():
            if all(each.name != action.tug for each in deck.tugs):
                raise WrongInput(f"there is no tug {safe(action.tug)}")
            tugs = tuple(each for each in deck.tugs if each.name != action.tug)
            return replace(deck, tugs=tugs), f"tug {safe(action.tug)} let go"
        case ChangeCargo():
            before = deck.cargo or CargoNow(stay.cargo)
            cargo, words = plan_after(before, action, now)
            return replace(deck, cargo=cargo), words


def _corrected(stay: Stay, lengths: Lengths, now: float, action: Correct) -> Changed:
    deed = last_other_deed(lengths, action.line)
    if deed is None:
        text = f"{action.line.capitalize()}: not done: nothing was entered that can be taken back"
        return lengths, (Event(now, "note", text=text),)
    deck = lengths.deck
    if action.line == TUG:
        deck = replace(deck, tugs=deed.before.tugs)
    else:
        deck = replace(deck, cargo=deed.before.cargo)
    deeds = tuple(each for each in lengths.other_deeds if each is not deed)
    return replace(lengths, deck=deck, other_deeds=deeds), (
        taken_back_event(now, stay.display, deed, action),
    )
