"""What the watch types of tugs, cargo and who was called: line `tug`, `30 on at 91`; line `cargo`, `stop`,
`rate 600`; line `call`, `master`, `engineer tide`; line
`transfer`, `disconnected`."""

import re
from typing import Final

from alongside.actions import Action, Correct, LetTugGo, PutTug
from alongside.cycle.deck.altered import OnDeck
from alongside.cycle.deck.others import CALL, TRANSFER, TUG
from alongside.errors import WrongInput
from alongside.forecast.what_if.changes import AddTug
from alongside.forecast.what_if.typed import parse_change
from alongside.screens.refusal import Refused
from alongside.stay.model import Stay
from alongside.wording.actions import called_words, order_words, transfer_words
from alongside.wording.figures import figure, force_text
from alongside.wording.safe import safe
from alongside.wording.typed_order import SUBJECTS, call_typed, cargo_typed, subject_in, transfer_typed

TUG_WORDS: Final = "30 on at 91, or 30 off at 91 (m from the AP), let go, take back"
TAKE_BACK: Final = r"take\s+back|undo|correct"


def subject_of(stay: Stay, line_text: str) -> str | None:
    """Return whether tugs, cargo or a call are meant; None for a line."""
    name = line_text.strip()
    return None if any(line.id == name for line in stay.lines) else SUBJECTS.get(name.lower())


def named_in(what_text: str) -> tuple[str | None, str]:
    """Return the subject that is typed with what happened, `call master`, `stop cargo`, and the rest; None
    and all of it where there is none: the form has filled in a line already."""
    return subject_in(what_text) or (None, what_text)


def other_deed(stay: Stay, deck: OnDeck, subject: str, what_text: str, by: str = "") -> tuple[Action, str]:
    """Return what was typed of tugs, cargo or a call, and the same in words. Raise Refused with what was
    expected."""
    what = " ".join(what_text.split())
    if re.fullmatch(TAKE_BACK, what, re.IGNORECASE):
        return Correct(line=subject, by=by), f"{subject}: last deed taken back"
    if subject == TUG:
        return _tug(stay, deck, what, by)
    try:
        if subject == CALL:
            call = call_typed(stay, what, by)
            return call, f"called {called_words(call)}"
        if subject == TRANSFER:
            transfer = transfer_typed(what, by)
            return transfer, transfer_words(transfer)
        cargo = cargo_typed(what, by)
        return cargo, order_words(cargo)
    except WrongInput as wrong:
        raise Refused(str(wrong)) from None


def _tug(stay: Stay, deck: OnDeck, what: str, by: str) -> tuple[Action, str]:
    names = [each.name for each in deck.tugs]
    gone = re.fullmatch(r"(?:(?P<a>\S+)\s+)?let\s+go(?:\s+(?P<b>\S+))?", what, re.IGNORECASE)
    if gone is not None:
        name = gone["a"] or gone["b"] or (names[0] if len(names) == 1 else "")
        if name not in names:
            known = ", ".join(map(safe, names))
            raise Refused(f"which tug? expected let go {known}" if names else "no tug is made fast")
        return LetTugGo(name, by), f"tug {safe(name)} let go"
    named = re.fullmatch(r"(?P<name>[A-Za-z]\S{0,11})\s+(?P<rest>[0-9].*)", what)
    try:
        change = parse_change(f"tug {named['rest'] if named else what}", stay)
    except WrongInput:
        raise Refused(f"expected {TUG_WORDS}") from None
    assert isinstance(change, AddTug)
    at = stay.ship.lbp / 2.0 if change.ship_x is None else change.ship_x
    free = next(str(each) for each in range(1, len(names) + 2) if str(each) not in names)
    name = named["name"] if named else free
    way = "pushing on" if change.on_kn >= 0.0 else "pulling off"
    load = force_text(abs(change.on_kn), stay.display)
    return PutTug(name, change.on_kn, at, by), f"tug {safe(name)} {way} with {load} at {figure(at, 1)} m"
