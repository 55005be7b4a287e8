"""A question what if, and its answer."""

import logging
from dataclasses import dataclass, replace

from alongside.cycle.picture import Picture
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.passing_words import BEGINS, other_ship, ship_words
from alongside.forecast.present import Present
from alongside.forecast.ship_passes import OtherShip, Passed, ship_passes
from alongside.forecast.what_if.answer import WhatIf, what_if
from alongside.forecast.what_if.changes import Change, in_words
from alongside.forecast.what_if.typed import parse_changes
from alongside.screens.refusal import Refused
from alongside.stay.model import Stay
from alongside.wording.safe import safe

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Question:
    """Changes made at one time, or a ship that passes, and the same in words."""

    changes: tuple[Change, ...]
    words: str
    passing: OtherShip | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """The answer to a question, or why there is none."""

    question: Question
    result: WhatIf | None
    why_not: str = ""
    passed: Passed | None = None


def question(text: str, stay: Stay) -> Question:
    """Return what was typed. Raise Refused with what was expected."""
    try:
        if text.strip().lower().startswith(BEGINS):
            ship = other_ship(text)
            return Question((), ship_words(ship, stay.display), ship)
        changes = parse_changes(text, stay)
    except WrongInput as error:
        raise Refused(str(error).removeprefix("what if: ").removeprefix("what if ")) from None
    return Question(changes, safe(", ".join(in_words(each, stay.display) for each in changes)))


def answer_or_fault(asked: Question, picture: Picture) -> Answer:
    """Return the answer; one that says what failed, with its trace in the log, where it cannot be found."""
    try:
        return answered(asked, picture)
    except Exception as fault:  # guards the watch: the answer says so, the console lives on
        log.exception("what if: %s", asked.words)
        return Answer(asked, None, f"it failed: {fault!r}, see the log")


def answered(asked: Question, picture: Picture) -> Answer:
    """Return the answer, calculated from the instant of a Picture; takes about as long as two forecasts."""
    stay, present = picture.stay, present_of(picture)
    if present is None:
        return Answer(asked, None, "nothing known of this instant yet")
    ahead = stay.tide is not None and not picture.forecast_hidden
    try:
        if asked.passing is not None:
            return Answer(asked, None, passed=ship_passes(Basis.of(stay), present, asked.passing))
        return Answer(asked, what_if(Basis.of(stay), present, asked.changes, ahead=ahead))
    except WrongInput as error:
        return Answer(asked, None, safe(str(error)))


def present_of(picture: Picture) -> Present | None:
    """Return the instant of a Picture with what was measured before, as the last look ahead had it."""
    present, forecast = picture.present, picture.forecast
    if present is None or forecast is None or forecast.present is None:
        return present
    before = forecast.present.heard
    return replace(present, heard=before.with_later(present.heard))
