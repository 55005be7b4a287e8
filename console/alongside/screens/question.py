"""A question what if, and its answer."""

import logging
from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import nan

from alongside.cycle.picture import Picture
from alongside.errors import WrongInput
from alongside.forecast import leaving_words, passing_words, period_words, typed_passing
from alongside.forecast.basis import Basis
from alongside.forecast.instant_words import Instant, asked_rows, headed
from alongside.forecast.letting_go import letting_go
from alongside.forecast.other_lines import farther_words, one_more_words
from alongside.forecast.other_lines.farther import farther_bollard
from alongside.forecast.other_lines.one_more import one_more_line
from alongside.forecast.other_lines.one_more_words import MoreLine, typed_more_line
from alongside.forecast.pass_tried import OtherShip
from alongside.forecast.peak_seen import SeenPeak
from alongside.forecast.periods import Wave, other_loads, periods_of
from alongside.forecast.present import Present
from alongside.forecast.ship_passes import ship_passes, speed_asked
from alongside.forecast.what_if.answer import WhatIf, what_if
from alongside.forecast.what_if.changes import Change, in_words
from alongside.forecast.what_if.typed import parse_changes
from alongside.screens.refusal import Refused
from alongside.stay.model import Line, Stay
from alongside.stay.stage import Stage
from alongside.wording.safe import safe

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Farthest:
    """The question which line a farther bollard helps most."""


@dataclass(frozen=True, slots=True)
class Leaving:
    """The question in which order the lines go when she leaves."""


@dataclass(frozen=True, slots=True)
class Question:
    """Changes made at one time, or another question, and the same in words."""

    changes: tuple[Change, ...]
    words: str
    other: OtherShip | Wave | MoreLine | Farthest | Leaving | None = None
    seen: SeenPeak | None = None
    """A peak that was seen as the ship passed before."""


@dataclass(frozen=True, slots=True)
class Lead:
    """A lead that is proposed: what it is called on the plan, its fairlead and its bollard."""

    label: str
    fairlead: str
    bollard: str


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """The answer to a question, or why there is none."""

    question: Question
    result: WhatIf | None
    why_not: str = ""
    rows: tuple[str, ...] = ()
    """The answer to another question than changes; the first row says how bad it is."""
    stage: Stage = Stage.NORMAL
    leads: tuple[Lead, ...] = ()
    """What is drawn on the plan beside the lines that are fast."""
    time: float = nan
    """The instant that leads are for, UNIX s."""


def question(text: str, stay: Stay) -> Question:
    """Return what was typed. Raise Refused with what was expected."""
    try:
        first = text.strip().lower()
        if first.startswith(typed_passing.BEGINS):
            ship, seen = typed_passing.ship_and_peak(text, stay)
            return Question((), typed_passing.asked_words(ship, seen, stay.display), ship, seen)
        if first.startswith(period_words.BEGINS):
            wave = period_words.typed_wave(text)
            return Question((), period_words.wave_words(wave), wave)
        if first.startswith(one_more_words.BEGINS):
            more = typed_more_line(text)
            return Question((), one_more_words.more_line_words(more), more)
        if first.startswith(farther_words.BEGINS):
            farther_words.check_typed(text)
            return Question((), farther_words.BEGINS, Farthest())
        if first.startswith(leaving_words.BEGINS):
            leaving_words.check_typed(text)
            return Question((), leaving_words.BEGINS, Leaving())
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
        if isinstance(asked.other, OtherShip):
            return _passing(asked, Basis.of(stay), present, asked.other)
        if isinstance(asked.other, MoreLine):
            return _one_more(asked, picture, present, ahead)
        if isinstance(asked.other, Farthest):
            return _farther(asked, Basis.of(stay), present, ahead)
        if isinstance(asked.other, Leaving):
            return _leaving(asked, Basis.of(stay), present)
        if asked.other is not None:
            return _ranging(asked, Basis.of(stay), present, asked.other)
        return Answer(asked, what_if(Basis.of(stay), present, asked.changes, ahead=ahead))
    except WrongInput as error:
        return Answer(asked, None, safe(str(error)))


def _passing(asked: Question, basis: Basis, present: Present, ship: OtherShip) -> Answer:
    passed = ship_passes(basis, present, ship, asked.seen)
    over = passed.share[1] >= 1.0 or passed.lines.ms is None
    serves = passed.share[2] < 1.0 and speed_asked(passed).because == "own_speed"
    stage = Stage.ALARM if over else Stage.NORMAL if serves else Stage.WARNING
    rows = headed(passing_words.passing_rows(passed, basis.stay), _instant(basis, present))
    return Answer(asked, None, rows=_whole(rows, basis, present, passing_words.CAUTION), stage=stage)


def _ranging(asked: Question, basis: Basis, present: Present, wave: Wave) -> Answer:
    periods = periods_of(basis, present)
    rows = period_words.ranging_rows(periods, wave, other_loads(basis, present))
    rows = headed(rows, _instant(basis, present))
    near = any(wave.is_near(each.expected) for each in periods)
    stage = Stage.WARNING if near else Stage.NORMAL
    return Answer(asked, None, rows=_whole(rows, basis, present, period_words.CAUTION), stage=stage)


def _one_more(asked: Question, picture: Picture, present: Present, ahead: bool) -> Answer:
    assert isinstance(asked.other, MoreLine)  # asked before
    basis, known = Basis.of(picture.stay), not picture.forecast_hidden
    found = one_more_line(basis, present, asked.other.aim, ahead=ahead, forecast=known)
    rows = one_more_words.one_more_rows(found, basis.stay)
    lines = [option.line for option in found.options]
    return _proposed(asked, lines, basis, present, rows, one_more_words.CAUTION)


def _farther(asked: Question, basis: Basis, present: Present, ahead: bool) -> Answer:
    found = farther_bollard(basis, present, ahead)
    rows = farther_words.farther_rows(found, basis.stay)
    lines = [move.line for move in found.moves]
    return _proposed(asked, lines, basis, present, rows, farther_words.ROWS_LAST)


def _leaving(asked: Question, basis: Basis, present: Present) -> Answer:
    rows = leaving_words.leaving_rows(*letting_go(basis, present), basis.stay, _instant(basis, present))
    return Answer(asked, None, rows=(*rows, "", leaving_words.SNAP_BACK, leaving_words.ABOVE))


def _proposed(
    asked: Question,
    lines: Sequence[Line],
    basis: Basis,
    present: Present,
    rows: Sequence[str],
    last: Sequence[str],
) -> Answer:
    """Return an answer whose lines are drawn on the plan."""
    leads = tuple(Lead(f"+{at}", line.fairlead, line.bollard) for at, line in enumerate(lines, 1))
    drawn = ("", f"Dotted on the plan: {', '.join(each.label for each in leads)}.") if leads else ()
    whole = _whole((*rows, *drawn), basis, present, last)
    return Answer(asked, None, rows=whole, leads=leads, time=present.time)


def _whole(rows: Sequence[str], basis: Basis, present: Present, last: Sequence[str]) -> tuple[str, ...]:
    """Return an answer with what stands below it, as the commands have it."""
    return (*rows, "", *asked_rows(basis.stay, _instant(basis, present)), *last)


def _instant(basis: Basis, present: Present) -> Instant:
    return Instant.of(basis.arrangement.ids, present)


def present_of(picture: Picture) -> Present | None:
    """Return the instant of a Picture with what was measured before, as the last look ahead had it."""
    present, forecast = picture.present, picture.forecast
    if present is None or forecast is None or forecast.present is None:
        return present
    before = forecast.present.heard
    return replace(present, heard=before.with_later(present.heard))
