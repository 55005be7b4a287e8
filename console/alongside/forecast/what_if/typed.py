"""Changes as they are typed, for the form on the screen, the command and scripts alike.

What is said of a tended line is read by `wording.typed_tending`, as in the form that records a tending. Units
that are left out are those of the display. `wind=40 from=210` is the same as `wind 40 from 210`. What a
change does is in `case`.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from alongside.errors import WrongInput
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
)
from alongside.stay.model import Stay
from alongside.units import KNOT
from alongside.wording.safe import safe
from alongside.wording.typed_tending import (
    HAND_TIGHT,
    LOAD,
    NUMBER,
    line_of,
    line_to_cell,
    load_kn,
    load_typed,
    number,
    typed_tending,
)

MOST_WIND_MS: Final = 100.0
MOST_CURRENT_MS: Final = 10.0
MOST_KN: Final = 5000.0
MOST_TIDE_M: Final = 20.0
MOST_ROPE_M: Final = 500.0
EXAMPLES: Final = "slack 3 0.4; let go 5; shift 4 to B2; add 11 like 4; tug 30 on; wind 40 from 90; tide +1"
"""For the row below a form; several at once are parted like them."""

_SPEED: Final = rf"(?P<speed>{NUMBER})\s*(?P<unit>kn|knots?|m/s|ms)?"
_COURSE: Final = rf"(?P<course>{NUMBER})\s*°?"


@dataclass(frozen=True, slots=True)
class _Kind:
    """One kind of change: how it begins, its whole form, how it is written with an example, what it means."""

    begins: str
    form: str
    usage: str
    example: str
    meaning: Callable[[re.Match[str], Stay], Change]

    @property
    def expected(self) -> str:
        return f"expected {self.usage}, such as: {self.example}"


def parse_changes(text: str, stay: Stay) -> tuple[Change, ...]:
    """Return changes in the order in which they stand, parted by `;` or by a comma and a blank. Raise
    WrongInput that says which part is wrong and what was expected, with one example."""
    parts = [part.strip() for part in re.split(r";|,\s+|\n", text) if part.strip()]
    if not parts:
        raise WrongInput(f"what if: nothing asked, expected changes such as: {EXAMPLES}")
    return tuple(_parsed(part, at, len(parts), stay) for at, part in enumerate(parts, start=1))


def parse_change(text: str, stay: Stay) -> Change:
    """Return one change. Raise WrongInput as `parse_changes`."""
    changes = parse_changes(text, stay)
    if len(changes) != 1:
        raise WrongInput(f"what if {safe(text)!r}: {len(changes)} changes, expected one")
    return changes[0]


def _parsed(text: str, at: int, count: int, stay: Stay) -> Change:
    where = f"what if, change {at} {safe(text)!r}" if count > 1 else f"what if {safe(text)!r}"
    plain = " ".join(text.replace("=", " ").split())
    kind = next((each for each in KINDS if re.match(rf"(?:{each.begins})\b", plain, re.IGNORECASE)), TEND)
    match = re.fullmatch(kind.form, plain, re.IGNORECASE)
    if match is None:
        what = "not a change" if kind is TEND and not _is_begun(plain) else "not complete, or too much"
        raise WrongInput(f"{where}: {what}, {kind.expected}{_others(kind)}")
    try:
        return kind.meaning(match, stay)
    except WrongInput as error:
        raise WrongInput(f"{where}: {error}; {kind.expected}") from None


def _is_begun(plain: str) -> bool:
    return re.match(r"(?:slack|heave|out|in|set)\b", plain, re.IGNORECASE) is not None


def _others(kind: _Kind) -> str:
    return "; or let go, fast, shift, add, tug, wind, current, tide, stop cargo" if kind is TEND else ""


def _tended(match: re.Match[str], stay: Stay) -> Change:
    if (cell := line_to_cell(match[0])) is not None:
        return SetTo(line_of(stay, cell).id, None)
    typed = typed_tending(match[0])
    if typed is None:
        raise WrongInput("not a change")
    line = line_of(stay, typed.line)
    if typed.way == "to":
        return SetTo(line.id, typed.tension_kn(stay, line))
    return PayOut(line.id, typed.paid_out_m())


def _let_go(match: re.Match[str], stay: Stay) -> Change:
    return LetGo(line_of(stay, match["line"]).id)


def _fast_anew(match: re.Match[str], stay: Stay) -> Change:
    line = line_of(stay, match["line"])
    if match["metres"]:
        length = number(match["metres"])
        if not 0.0 < length <= MOST_ROPE_M:
            raise WrongInput(f"{length:g} m is not possible, expected above 0, at most {MOST_ROPE_M:g} m")
        return FastAnew(line.id, length_m=length)
    return FastAnew(line.id, load_typed(match["load"] or match["hand"], stay, line.smallest_mbl_kn))


def _shifted(match: re.Match[str], stay: Stay) -> Change:
    line, words = line_of(stay, match["line"]), named_words(match["rest"], ("to", "over", "at"))
    load = words.get("at")
    tension = None if load is None else load_typed(load, stay, line.smallest_mbl_kn)
    return Shift(line.id, words.get("to"), words.get("over"), tension)


def _added(match: re.Match[str], stay: Stay) -> Change:
    words = named_words(match["rest"], ("like", "over", "to", "rope", "winch", "at"))
    load = words.get("at")
    tension = None
    if load is not None:
        typed = re.fullmatch(rf"({NUMBER})(t|kn)?", load, re.IGNORECASE)
        if typed is None:
            raise WrongInput(f"{load} is no load")
        tension = load_kn(number(typed[1]), typed[2] or "", stay, MOST_KN, "")
    like = words.get("like")
    return AddLine(
        match["line"],
        words.get("over"),
        words.get("to"),
        words.get("rope"),
        tension,
        None if like is None else line_of(stay, like).id,
        words.get("winch"),
    )


def named_words(rest: str, names: tuple[str, ...]) -> dict[str, str]:
    """Return what stands after each of some words, `to B12 over F3`. Raise WrongInput for one that is not
    known, stands twice or has nothing after it."""
    words = re.sub(rf"({NUMBER})\s+(t|kn)\b", r"\1\2", rest, flags=re.IGNORECASE).split()
    pairs = list(zip(words[::2], words[1::2], strict=False))
    found = {word.lower(): what for word, what in pairs}
    odd = next((word for word in words[::2] if word.lower() not in names), None)
    if odd is not None:
        raise WrongInput(f"{safe(odd)} not understood, expected {', '.join(names)}")
    if len(words) % 2 or len(found) != len(pairs):
        raise WrongInput(f"{safe(rest)}: one name is missing, or a word stands twice")
    return found


def _tug(match: re.Match[str], stay: Stay) -> Change:
    kn = load_kn(number(match["load"]), match["unit"] or "", stay, MOST_KN, "")
    on = match["way"].lower().startswith(("on", "push"))
    station = match["at"]
    at = None if station is None else number(station)
    loa = stay.ship.loa
    if at is not None and not 0.0 <= at <= loa:
        raise WrongInput(f"{at:g} m is not on the ship, expected 0 to {loa:g} m forward of the AP")
    return AddTug(kn if on else -kn, at)


def _wind(match: re.Match[str], stay: Stay) -> Change:
    return OtherWind(_speed(match, stay, MOST_WIND_MS), _course(match))


def _current(match: re.Match[str], stay: Stay) -> Change:
    turn = 180.0 if match["word"].lower() == "from" else 0.0
    return OtherCurrent(_speed(match, stay, MOST_CURRENT_MS), (_course(match) + turn) % 360.0)


def _course(match: re.Match[str]) -> float:
    course = number(match["course"])
    if course > 360.0:
        raise WrongInput(f"{course:g}° is no direction, expected 0 to 360, true")
    return course % 360.0


def _speed(match: re.Match[str], stay: Stay, most_ms: float) -> float:
    unit = (match["unit"] or stay.display.speed).lower()
    ms = number(match["speed"]) * (KNOT if unit.startswith("kn") else 1.0)
    if not 0.0 <= ms <= most_ms:
        raise WrongInput(f"{match['speed']} {unit} is not possible, expected 0 to {most_ms:g} m/s")
    return ms


def _tide(match: re.Match[str], _stay: Stay) -> Change:
    value = number(match["metres"]) * (-1.0 if match["sign"] == "-" else 1.0)
    if abs(value) > MOST_TIDE_M:
        raise WrongInput(f"{value:g} m is not possible, expected -{MOST_TIDE_M:g} to {MOST_TIDE_M:g} m")
    return OtherTide(level=value) if match["at"] or not match["sign"] else OtherTide(raised=value)


def _stop(_match: re.Match[str], _stay: Stay) -> Change:
    return StopCargo()


KINDS: Final = (
    _Kind("let", r"let\s+go\s+(?:of\s+)?(?:line\s+)?(?P<line>\S+)", "let go LINE", "let go 5", _let_go),
    _Kind(
        "fast",
        rf"fast\s+(?:line\s+)?(?P<line>\S+)\s+(?:at\s+(?P<load>{LOAD})|(?P<hand>{HAND_TIGHT})"
        rf"|(?:with\s+)?(?P<metres>{NUMBER})\s*m)",
        "fast LINE at LOAD, fast LINE hand-tight, or fast LINE METRES m of main rope",
        "fast 3 at 6",
        _fast_anew,
    ),
    _Kind(
        "shift",
        r"shift\s+(?:line\s+)?(?P<line>\S+)\s+(?P<rest>(?:to|over)\s.*)",
        "shift LINE to BOLLARD, or over FAIRLEAD, or both, at LOAD",
        "shift 4 to B12",
        _shifted,
    ),
    _Kind(
        "add",
        r"add\s+(?:line\s+)?(?P<line>\S+)\s+(?P<rest>.+)",
        "add NEW LINE over FAIRLEAD to BOLLARD rope ROPE at LOAD, or like LINE",
        "add 11 like 4 to C5 at 6",
        _added,
    ),
    _Kind(
        "tug",
        rf"tug\s+(?P<load>{NUMBER})\s*(?P<unit>t|kn)?\s+"
        rf"(?P<way>(?:push(?:ing)?\s+)?on|push(?:ing)?|(?:pull(?:ing)?\s+)?off|pull(?:ing)?)(?:\s+(?:at\s+)?(?:(?P<at>{NUMBER})\s*m?|amidships))?",
        "tug LOAD on or off, at STATION m or amidships",
        "tug 30 pushing on at 91",
        _tug,
    ),
    _Kind(
        "wind",
        rf"wind\s+{_SPEED}\s+(?:from\s+)?{_COURSE}",
        "wind SPEED from DIRECTION",
        "wind 40kn from 210",
        _wind,
    ),
    _Kind(
        "current",
        rf"current\s+{_SPEED}\s+(?P<word>to|from)\s+{_COURSE}",
        "current SPEED to DIRECTION",
        "current 1.5kn to 250",
        _current,
    ),
    _Kind(
        "tide",
        rf"tide\s+(?P<at>at\s+)?(?P<sign>[+-])?\s*(?P<metres>{NUMBER})\s*m?",
        "tide METRES, or + or - METRES",
        "tide +1.0",
        _tide,
    ),
    _Kind("stop", r"stop\s+(?:the\s+)?cargo", "stop cargo", "stop cargo", _stop),
)
TEND: Final = _Kind(
    "",
    r"(?:(?:slack|heave|out|in)\s+\S.*[0-9].*)|(?:\S+.*\s(?:slack|heave|out|in|to)\s.*[0-9].*)"
    r"|(?:\S+.*\sto\s+(?:the\s+)?cell)",
    "slack LINE METRES, heave LINE METRES, LINE to LOAD or LINE to cell",
    "slack 3 0.40",
    _tended,
)
