"""How an order is typed that is no line's: `call tugs`, `engineer tide`, `stop cargo`, `cargo rate 600`,
`disconnect`, `transfer connected`: one grammar for the form at the console and for exercise files."""

import re
from typing import Final, Literal, get_args

from alongside.actions import CallOut, ChangeCargo, SayTransfer, Whom
from alongside.errors import WrongInput
from alongside.stay.model import Stay
from alongside.wording.names import channel as channel_words
from alongside.wording.typed_tending import NUMBER, number

Subject = Literal["cargo", "tug", "call", "transfer"]
SUBJECTS: Final[dict[str, Subject]] = {
    **dict.fromkeys(("cargo", "ballast"), "cargo"),
    **dict.fromkeys(("tug", "tugs"), "tug"),
    **dict.fromkeys(("call", "called"), "call"),
    **dict.fromkeys(("transfer", "arms", "hoses"), "transfer"),
}
WHOM: Final[tuple[Whom, ...]] = get_args(Whom)
CALLED: Final[dict[str, Whom]] = {each: each for each in WHOM} | {"tug": "tugs", "gang": "linesmen"}
CALL_WORDS: Final = f"{', '.join(WHOM)}, each with or without what about: engineer tide; take back"
CARGO_WORDS: Final = "stopped, begun, rate 600, done, each with or without an operation; take back"
TRANSFER_WORDS: Final = "connected, disconnected, take back"
ORDER_WORDS: Final = "call tugs, call engineer tide, stop cargo, cargo rate 600, disconnect"
MOST_RATE: Final = 20_000.0
"""t/h: beyond any plant."""
What = Literal["stopped", "begun", "rate", "done"]
STEMS: Final[tuple[tuple[str, What], ...]] = (
    (r"stop(?:ped)?", "stopped"),
    (r"beg(?:in|an|un)|start(?:ed)?|go(?:es)?\s+on|resumed?", "begun"),
    (rf"rate\s+(?P<rate>{NUMBER})(?:\s*t/h)?", "rate"),
    (r"done|finished|completed?", "done"),
)
_ARMS: Final = r"(?:\s+(?:the\s+)?(?:arms|hoses|arms\s+or\s+hoses))?"
_CONNECTED: Final = r"(?:are\s+)?(?:connected|on)"
_DISCONNECTED: Final = r"(?:are\s+)?(?:disconnected|off|gone)"
_VERB_FIRST: Final = re.compile(
    rf"(?P<call>call|order)\s+(?P<whom>{'|'.join(CALLED)})\b(?P<about>.*)"
    r"|(?P<cargo>stop|begin|start|resume)\s+(?:cargo|ballast)\b(?P<operation>.*)"
    rf"|(?P<arms>(?:dis)?connect){_ARMS}",
    re.IGNORECASE,
)


def subject_in(text: str) -> tuple[Subject, str] | None:
    """Return what an order is about, and the rest of it: `call`, `tugs` of `order tugs`; `cargo`, `stop` of
    `stop cargo`; None for any other text."""
    text = " ".join(text.split())
    typed = _VERB_FIRST.fullmatch(text)
    if typed is not None and typed["call"]:
        return "call", f"{typed['whom']}{typed['about']}"
    if typed is not None and typed["cargo"]:
        return "cargo", f"{typed['cargo']}{typed['operation']}"
    if typed is not None:
        return "transfer", f"{typed['arms'].lower()}ed"
    first, _, rest = text.partition(" ")
    subject = SUBJECTS.get(first.lower())
    if subject is not None:
        return subject, rest
    return ("call", text) if first.lower().rstrip(":,") in CALLED else None


def order_typed(stay: Stay, text: str) -> CallOut | ChangeCargo | SayTransfer:
    """Return the order that was typed whole. Raise WrongInput with what was expected."""
    subject, what = subject_in(text) or ("", "")
    match subject:
        case "call":
            return call_typed(stay, what)
        case "cargo":
            return cargo_typed(what)
        case "transfer":
            return transfer_typed(what)
    raise WrongInput(f"expected {ORDER_WORDS}")


def call_typed(stay: Stay, what: str, by: str = "") -> CallOut:
    """Return who was called, and about what. Raise WrongInput with what was expected."""
    whom, _, about = what.partition(" ")
    name = whom.lower().rstrip(":,")
    if name not in CALLED:
        raise WrongInput(f"expected {CALL_WORDS}")
    about = re.sub(r"^(?:about|of)\s+", "", about.strip(), flags=re.IGNORECASE)
    heard = {source.channel for feed in stay.feeds for source in feed.channels}
    meant = {channel_words(each).lower(): each for each in heard} | {each: each for each in heard}
    return CallOut(CALLED[name], meant.get(about.lower(), about), by)


def cargo_typed(what: str, by: str = "") -> ChangeCargo:
    """Return what becomes of cargo. Raise WrongInput with what was expected."""
    for stem, meaning in STEMS:
        typed = re.fullmatch(rf"(?:{stem})(?:\s+(?P<operation>.+))?", what, re.IGNORECASE)
        if typed is None:
            continue
        operation = (typed["operation"] or "").strip()
        rate = number(typed["rate"]) if meaning == "rate" else None
        if rate is not None and not 0.0 < rate <= MOST_RATE:
            raise WrongInput(f"{rate:g} t/h is not possible, expected above 0, at most {MOST_RATE:g} t/h")
        return ChangeCargo(meaning, operation, rate, by)
    raise WrongInput(f"expected {CARGO_WORDS}")


def transfer_typed(what: str, by: str = "") -> SayTransfer:
    """Return whether arms or hoses are connected. Raise WrongInput with what was expected."""
    for pattern, connected in ((_CONNECTED, True), (_DISCONNECTED, False)):
        if re.fullmatch(pattern, what, re.IGNORECASE):
            return SayTransfer(connected, by)
    raise WrongInput(f"expected {TRANSFER_WORDS}")
