"""What the watch types of tugs, cargo and who was called: line `tug`, `30 on at 91`; line `cargo`, `stop`,
`rate 600`; line `call`, `master`, `engineer tide`; line
`transfer`, `disconnected`."""

import re
from typing import Final, Literal, get_args

from alongside.actions import Action, CallOut, ChangeCargo, Correct, LetTugGo, PutTug, SayTransfer, Whom
from alongside.cycle.deck.altered import OnDeck
from alongside.cycle.deck.others import CALL, CARGO, TRANSFER, TUG
from alongside.errors import WrongInput
from alongside.forecast.what_if.changes import AddTug
from alongside.forecast.what_if.typed import parse_change
from alongside.screens.refusal import Refused
from alongside.stay.model import Stay
from alongside.wording.actions import called_words, transfer_words
from alongside.wording.figures import figure, force_text
from alongside.wording.names import channel as channel_words
from alongside.wording.safe import safe
from alongside.wording.typed_tending import NUMBER, number

SUBJECTS: Final = {
    **dict.fromkeys(("cargo", "ballast"), CARGO),
    **dict.fromkeys(("tug", "tugs"), TUG),
    **dict.fromkeys(("call", "called"), CALL),
    **dict.fromkeys(("transfer", "arms", "hoses"), TRANSFER),
}
TUG_WORDS: Final = "30 on at 91, or 30 off at 91 (m from the AP), let go, take back"
CARGO_WORDS: Final = "stopped, begun, rate 600, done, each with or without an operation; take back"
WHOM: Final[tuple[Whom, ...]] = get_args(Whom)
CALL_WORDS: Final = f"{', '.join(WHOM)}, each with or without what about: engineer tide; take back"
TRANSFER_WORDS: Final = "connected, disconnected, take back"
_CONNECTED: Final = r"(?:are\s+)?(?:connected|on)"
_DISCONNECTED: Final = r"(?:are\s+)?(?:disconnected|off|gone)"
TAKE_BACK: Final = r"take\s+back|undo|correct"
MOST_RATE: Final = 20_000.0
"""t/h: beyond any plant."""
What = Literal["stopped", "begun", "rate", "done"]
STEMS: Final[tuple[tuple[str, What], ...]] = (
    (r"stop(?:ped)?", "stopped"),
    (r"beg(?:in|an|un)|start(?:ed)?|go(?:es)?\s+on|resumed?", "begun"),
    (rf"rate\s+(?P<rate>{NUMBER})(?:\s*t/h)?", "rate"),
    (r"done|finished|completed?", "done"),
)


def subject_of(stay: Stay, line_text: str) -> str | None:
    """Return whether tugs, cargo or a call are meant; None for a line."""
    name = line_text.strip()
    return None if any(line.id == name for line in stay.lines) else SUBJECTS.get(name.lower())


def named_in(what_text: str) -> tuple[str | None, str]:
    """Return the subject that is typed with what happened, `call master`, and the rest; None and all of it
    where there is none: the form has filled in a line already."""
    first, _, rest = what_text.strip().partition(" ")
    subject = SUBJECTS.get(first.lower())
    return (None, what_text) if subject is None else (subject, rest)


def other_deed(stay: Stay, deck: OnDeck, subject: str, what_text: str, by: str = "") -> tuple[Action, str]:
    """Return what was typed of tugs, cargo or a call, and the same in words. Raise Refused with what was
    expected."""
    what = " ".join(what_text.split())
    if re.fullmatch(TAKE_BACK, what, re.IGNORECASE):
        return Correct(line=subject, by=by), f"{subject}: last deed taken back"
    if subject == CALL:
        return _call(stay, what, by)
    if subject == TRANSFER:
        return _transfer(what, by)
    return _tug(stay, deck, what, by) if subject == TUG else _cargo(what, by)


def _call(stay: Stay, what: str, by: str) -> tuple[Action, str]:
    whom, _, about = what.partition(" ")
    known: dict[str, Whom] = {each: each for each in WHOM} | {"tug": "tugs", "gang": "linesmen"}
    name = whom.lower().rstrip(":,")
    if name not in known:
        raise Refused(f"expected {CALL_WORDS}")
    about = re.sub(r"^(?:about|of)\s+", "", about.strip(), flags=re.IGNORECASE)
    heard = {source.channel for feed in stay.feeds for source in feed.channels}
    meant = {channel_words(each).lower(): each for each in heard} | {each: each for each in heard}
    action = CallOut(known[name], meant.get(about.lower(), about), by)
    return action, f"called {called_words(action)}"


def _transfer(what: str, by: str) -> tuple[Action, str]:
    for pattern, connected in ((_CONNECTED, True), (_DISCONNECTED, False)):
        if re.fullmatch(pattern, what, re.IGNORECASE):
            action = SayTransfer(connected, by)
            return action, transfer_words(action)
    raise Refused(f"expected {TRANSFER_WORDS}")


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


def _cargo(what: str, by: str) -> tuple[Action, str]:
    for stem, meaning in STEMS:
        typed = re.fullmatch(rf"(?:{stem})(?:\s+(?P<operation>.+))?", what, re.IGNORECASE)
        if typed is None:
            continue
        operation = (typed["operation"] or "").strip()
        rate = number(typed["rate"]) if meaning == "rate" else None
        if rate is not None and not 0.0 < rate <= MOST_RATE:
            raise Refused(f"{rate:g} t/h is not possible, expected above 0, at most {MOST_RATE:g} t/h")
        words = f"goes on at {rate:g} t/h" if rate is not None else meaning
        name = f" {safe(operation)}" if operation else ""
        return ChangeCargo(meaning, operation, rate, by), f"cargo{name} {words}"
    raise Refused(f"expected {CARGO_WORDS}")
