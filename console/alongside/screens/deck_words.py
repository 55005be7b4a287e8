"""What the watch types to record what happened on deck to a line, in the words of what if: `parted`,
`let go`, `fast at 6`, `add like 4`, `slipped 0.30`, `take back`. Of tugs and cargo: `other_words`."""

import re
from typing import Final, Literal

from alongside.actions import (
    MOST_METRES,
    Action,
    AddLine,
    AnswerBrake,
    Correct,
    LineGone,
    MakeFast,
    NameRope,
    ReadLoad,
    RenewLine,
    SetBrake,
    ShiftLine,
)
from alongside.cycle.deck.altered import shifted
from alongside.errors import WrongInput
from alongside.forecast.what_if.changes import FastAnew, Shift, in_words
from alongside.forecast.what_if.other_leads import rope_of_kind
from alongside.forecast.what_if.typed import MOST_ROPE_M, named_words, parse_change
from alongside.screens.refusal import Refused
from alongside.stay.model import Line, Rope, Stay
from alongside.wording.figures import force_text, metres
from alongside.wording.safe import safe
from alongside.wording.typed_tending import HAND_TIGHT, NUMBER, line_of, load_kn, load_typed, number

BRAKE: Final = "slipped, slipped 0.30 (m), or held"
WORDS: Final = (
    "parted, let go, fast, shift, add, double, renew, serial, brake, slipped 0.30, found, accept, take back"
)
ACCEPT: Final = r"accept(ed)?(\s+what\s+was\s+learnt)?"
ACCEPT_ALL: Final = r"accept(ed)?\s+all"
FOUND: Final = (
    rf"found\s+(?:(?P<slack>slack)|(?P<load>{NUMBER})\s*(?P<unit>t|kn)?"
    rf"(?:\s+within\s+(?P<within>{NUMBER})\s*(?:t|kn)?)?)"
)
WITHIN_SD: Final = 1.645
"""Standard deviations within which 9 of 10 lie."""
MOST_SERIAL: Final = 60
NO_SERIAL: Final = "no serial yet"
TAKE_BACK: Final = r"take\s+back|undo|correct"


def deck_deed(stay: Stay, line_text: str, what_text: str, by: str = "") -> tuple[Action, str]:
    """Return what was typed of a line, and the same in words. Raise Refused with what was expected."""
    name, what = line_text.strip(), " ".join(what_text.split())
    try:
        if re.match(r"add\b", what, re.IGNORECASE):
            return _added(stay, name, what[len("add") :], by)
        return _deed(stay, line_of(stay, name), what, by)
    except WrongInput as error:
        text = str(error).partition(": ")[2] if str(error).startswith("what if") else str(error)
        raise Refused(text) from None


def _deed(stay: Stay, line: Line, what: str, by: str) -> tuple[Action, str]:
    name, word = f"line {safe(line.id)}", what.lower()
    if word == "parted":
        return LineGone(line.id, "parted", by), f"{name} parted"
    if word in ("let go", "gone"):
        return LineGone(line.id, "let_go", by), f"{name} let go"
    if re.match(r"serial\b", word):
        _, serial = _with_serial(what)
        return NameRope(line.id, serial, by), f"{name}, its rope is {safe(serial)}"
    if re.fullmatch(TAKE_BACK, word):
        return Correct(line=line.id, by=by), f"{name}: last deed taken back"
    if word.startswith("fast"):
        change = parse_change(f"fast {line.id} {what[len('fast') :].strip()}", stay)
        assert isinstance(change, FastAnew)
        fast = MakeFast(line.id, change.tension_kn, change.length_m, by)
        return fast, f"{name} made fast {_with(stay, change)}"
    if word.startswith("shift"):
        change = parse_change(f"shift {line.id} {what[len('shift') :].strip()}", stay)
        assert isinstance(change, Shift)
        shifted(stay, line, change.fairlead, change.bollard)  # raises where it cannot be
        shift = ShiftLine(line.id, change.fairlead, change.bollard, change.tension_kn, by=by)
        where = in_words(change, stay.display).removeprefix(f"shift {line.id} ")
        return shift, f"{name} shifted {safe(where)}"
    if word.startswith("found"):
        return _load_read(stay, line, word, by)
    if re.match(r"double\b", word):
        return _doubled(stay, line, what[len("double") :], by)
    if re.match(r"renew(ed)?\b", word):
        return _renewed(stay, line, what.partition(" ")[2], by)
    if re.match(r"brake\b", word):
        return _brake_set(stay, line, word[len("brake") :], by)
    answer = brake_answer(line.id, what, by)
    if line.winch is None:
        raise Refused(f"{name} is on no winch")
    words = "brake held" if answer.did == "held" else "brake slipped"
    return answer, f"{name}: {words}"


def _added(stay: Stay, name: str, rest: str, by: str) -> tuple[Action, str]:
    if not re.fullmatch(r"[A-Za-z0-9_.-]{1,8}", name):
        raise Refused("the new line's name is missing, expected up to 8 letters and figures, such as 11")
    rest, serial = _with_serial(rest)
    words = _words_of(rest, ("like", "over", "to", "rope", "winch", "at", "with"))
    like = None if "like" not in words else line_of(stay, words["like"])
    rope = rope_of_kind(stay, words["rope"]) if "rope" in words else (like.rope if like else None)
    if rope is None:
        raise WrongInput("of which rope? expected rope NAME, or like LINE")
    load, length = _load(stay, words, rope.strength_kn)
    action = AddLine(
        name,
        words.get("over"),
        words.get("to"),
        words.get("rope"),
        words.get("winch"),
        None if like is None else like.id,
        load,
        length,
        by=by,
        serial=serial,
    )
    over = words.get("over") or (like.fairlead if like else "?")
    to = words.get("to") or (like.bollard if like else "?")
    return action, f"line {safe(name)} over {safe(over)} to {safe(to)}, {_rope_words(rope, serial)}"


def _doubled(stay: Stay, line: Line, rest: str, by: str) -> tuple[Action, str]:
    """`double`, `double as 4b to B2 over F3 winch W5 at 6`: the other part of its rope, led back."""
    words = _words_of(rest, ("as", "over", "to", "winch", "at", "with"))
    load, length = _load(stay, words, line.smallest_mbl_kn)
    name = words.get("as", f"{line.id}b")
    action = AddLine(
        name,
        words.get("over"),
        words.get("to"),
        None,
        words.get("winch"),
        None,
        load,
        length,
        line.id,
        by,
    )
    return action, f"line {safe(line.id)} doubled, other part {safe(name)}"


def _renewed(stay: Stay, line: Line, rest: str, by: str) -> tuple[Action, str]:
    rest, serial = _with_serial(rest)
    words = _words_of(rest, ("rope", "at", "with"))
    rope = rope_of_kind(stay, words["rope"]) if "rope" in words else line.rope
    load, length = _load(stay, words, rope.strength_kn)
    action = RenewLine(line.id, words.get("rope"), load, length, by, serial)
    return action, f"line {safe(line.id)} has a new rope, {_rope_words(rope, serial)}"


def _with_serial(rest: str) -> tuple[str, str]:
    """Return what was typed before the serial number of a rope, and that, "" for none. Raise Refused for one
    that cannot be."""
    before, word, serial = rest, "", ""
    if typed := re.search(r"\bserial\b", rest, re.IGNORECASE):
        before, word, serial = rest[: typed.start()], typed[0], rest[typed.end() :].strip()
    if word and not 0 < len(serial) <= MOST_SERIAL:
        raise Refused(f"expected the number on the rope, up to {MOST_SERIAL} characters: serial PL-2213")
    return before, serial


def _rope_words(rope: Rope, serial: str) -> str:
    """Return `polyester, serial PL-2213`, or that the number is not said yet."""
    return f"{safe(rope.name)}, {f'serial {safe(serial)}' if serial else NO_SERIAL}"


def _load_read(stay: Stay, line: Line, word: str, by: str) -> tuple[Action, str]:
    """`found slack`, `found 12 t`, `found 12 within 1`: what somebody has read of its load."""
    typed, name = re.fullmatch(FOUND, word), f"line {safe(line.id)}"
    if typed is None:
        raise Refused("expected the load that was read, such as: found 12, found 12 within 1, found slack")
    if typed["slack"]:
        return ReadLoad(line.id, 0.0, None, by), f"{name} found slack"
    kn = load_kn(number(typed["load"]), typed["unit"] or "", stay, line.smallest_mbl_kn)
    words, sigma = f"{name} found {force_text(kn, stay.display)}", None
    if typed["within"]:
        within = load_kn(number(typed["within"]), typed["unit"] or "", stay, line.smallest_mbl_kn)
        sigma, words = within / WITHIN_SD, f"{words}, within {force_text(within, stay.display)}"
    return ReadLoad(line.id, kn, sigma, by), words


def learnt_words_in(what: str) -> Literal["accept", "accept all", "take back all", ""]:
    """Return what is to be done with what loads show of lines; "" where something else was typed."""
    typed = " ".join(what.split()).lower()
    if re.fullmatch(ACCEPT, typed):
        return "accept"
    if re.fullmatch(ACCEPT_ALL, typed):
        return "accept all"
    return "take back all" if re.fullmatch(rf"({TAKE_BACK})\s+all", typed) else ""


def _brake_set(stay: Stay, line: Line, rest: str, by: str) -> tuple[Action, str]:
    if line.winch is None:
        raise Refused(f"line {safe(line.id)} is on no winch")
    typed = re.fullmatch(rf"(?:set\s+)?(?:to\s+)?({NUMBER})\s*(t|kn|%)?(?:\s+of\s+mbl)?", rest.strip())
    if typed is None:
        raise Refused("expected what the brake is set to hold, such as: brake 30, or brake 60 %")
    most = line.rope.mbl_kn
    if typed[2] == "%":
        kn = number(typed[1]) / 100.0 * (stay.ship.design_mbl_kn or most)
    else:
        kn = load_kn(number(typed[1]), typed[2] or "", stay, most)
    if not 0.0 < kn <= most:
        raise Refused(f"expected more than nothing, at most the MBL {force_text(most, stay.display)}")
    return SetBrake(line.id, kn, by), f"line {safe(line.id)} brake set to hold {force_text(kn, stay.display)}"


def _words_of(rest: str, names: tuple[str, ...]) -> dict[str, str]:
    """Return what stands after each word; `hand-tight` and `42.5 m` may stand by themselves."""
    text = re.sub(rf"(?:\bat\s+)?\b{HAND_TIGHT}\b", " at hand-tight", rest, flags=re.IGNORECASE)
    text = re.sub(rf"(?:\bwith\s+)?(?<![\w.,])({NUMBER})\s*m\b", r" with \1m", text, flags=re.IGNORECASE)
    return named_words(text, names) if text.strip() else {}


def _load(stay: Stay, words: dict[str, str], mbl_kn: float) -> tuple[float | None, float | None]:
    """Return the load, kN, and the metres that a line is made fast with, as far as they are typed."""
    load = load_typed(words["at"], stay, mbl_kn) if "at" in words else None
    if "with" not in words:
        return load, None
    metres_out = re.fullmatch(rf"({NUMBER})m?", words["with"], re.IGNORECASE)
    if metres_out is None or load is not None:
        raise WrongInput("expected a load, at 6, or metres of main rope, 42.5 m")
    length = number(metres_out[1])
    if not 0.0 < length <= MOST_ROPE_M:
        raise WrongInput(f"{length:g} m is not possible, expected above 0, at most {MOST_ROPE_M:g} m")
    return None, length


def _with(stay: Stay, change: FastAnew) -> str:
    if change.tension_kn is None:
        return f"with {metres(change.length_m or 0.0)} of main rope out"
    return f"with {force_text(change.tension_kn, stay.display)}"


def brake_answer(line: str, text: str, by: str = "") -> AnswerBrake:
    """Return the answer that a text such as `held`, `slipped` or `slipped 0.30` gives for a line. Raise
    Refused with what was expected."""
    word, _, number = text.strip().lower().partition(" ")
    number = number.strip().removesuffix("m").strip().replace(",", ".")
    if word == "held" and not number:
        return AnswerBrake(line, "held", by=by)
    if word == "slipped" and not number:
        return AnswerBrake(line, "slipped", by=by)
    try:
        slipped = float(number)
    except ValueError:
        slipped = -1.0
    if word != "slipped" or not 0.0 <= slipped <= MOST_METRES:
        raise Refused(f"expected {BRAKE if word in ('held', 'slipped') else WORDS}")
    return AnswerBrake(line, "slipped", slipped, by)
