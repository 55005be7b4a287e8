"""A question what if, and its answer."""

import logging
import re
from dataclasses import dataclass

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.model import Forecast
from alongside.forecast.what_if import Change, WhatIf, parse_change, what_if
from alongside.screens.refusal import Refused
from alongside.stay.model import Stay
from alongside.wording.safe import safe

log = logging.getLogger(__name__)

EXPECTED = "slack 3 0.4; heave 3 0.4; let go 5; shift 4 to B2; wind 40 from 90; stop cargo"
"""Examples; several at once are parted like them."""
_OUT_OR_IN = re.compile(r"(?:(out|in)\s+(\S+)|(\S+)\s+(out|in))\s+([0-9.]+)", re.IGNORECASE)
"""`out 4 0.5` and `4 out 0.5` are `slack 4 0.5`."""
_WIND = re.compile(r"wind\s+([0-9.]+)\s*(kn|m/s|)\s+from\s+(\S+)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Question:
    """Changes made at one time."""

    changes: tuple[Change, ...]

    @property
    def words(self) -> str:
        return safe(", ".join(change.words for change in self.changes))


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """The answer to a question, or why there is none."""

    question: Question
    result: WhatIf | None
    why_not: str = ""


def question(text: str, stay: Stay) -> Question:
    """Return what was typed, several changes parted by `;`. Raise Refused with what was expected."""
    parts = [part.strip() for part in text.replace(",", ".").split(";") if part.strip()]
    if not parts:
        raise Refused("nothing asked; expected one of those below")
    return Question(tuple(_change(part, stay) for part in parts))


def _change(text: str, stay: Stay) -> Change:
    if moved := _OUT_OR_IN.fullmatch(text):
        deed = "slack" if (moved[1] or moved[4]).lower() == "out" else "heave"
        text = f"{deed} {moved[2] or moved[3]} {moved[5]}"
    if wind := _WIND.fullmatch(text):
        text = f"wind {wind[1]}{wind[2].lower() or stay.display.speed} from {wind[3]}"
    try:
        change = parse_change(text)
    except WrongInput:
        raise Refused(f"{safe(text)!r} is not one of those below") from None
    line = getattr(change, "line", None)
    ids = [each.id for each in stay.lines]
    if line is not None and line not in ids:
        raise Refused(f"no line {safe(line)!r}; there are {safe(', '.join(ids))}")
    return change


def answer_or_fault(asked: Question, stay: Stay, forecast: Forecast) -> Answer:
    """Return the answer; one that says what failed, with its trace in the log, where it cannot be found."""
    try:
        return answered(asked, stay, forecast)
    except Exception as fault:  # guards the watch: the answer says so, the console lives on
        log.exception("what if: %s", asked.words)
        return Answer(asked, None, f"it failed: {fault!r}, see the log")


def answered(asked: Question, stay: Stay, forecast: Forecast) -> Answer:
    """Return the answer, calculated from where the forecast began; takes about as long as a forecast."""
    assert forecast.present is not None  # asked before
    try:
        result = what_if(Basis.of(stay), forecast.present, asked.changes, None, forecast)
    except WrongInput as error:
        return Answer(asked, None, safe(str(error)))
    return Answer(asked, result, result.changed.reason)
