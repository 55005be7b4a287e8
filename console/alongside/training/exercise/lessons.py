"""What a debrief teaches: of each alert what happened, when it could be seen, what a good watch would have
done and by when, what was done, and what that changed."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, isnan, nan
from typing import Final

import numpy as np

from alongside.alerts.model import Event
from alongside.forecast.rounds.plan import Move, Plan, Round
from alongside.stay.causes import Cause
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from alongside.training.exercise.answered import answers_to
from alongside.training.exercise.course import MINUTE_S, OF_THE_SHIP, Course
from alongside.training.exercise.crew import Work
from alongside.training.exercise.judged import Judged
from alongside.training.exercise.score import AlertScore
from alongside.wording.names import condition

LEFT_OUT: Final[frozenset[Cause]] = frozenset({"ahead", "caller", "record", "clock", "calculation"})
"""What only points to something else, or is about the console itself."""
LATER_S: Final = 3600.0
"""A deed is about an alert up to so long after it was over."""


@dataclass(frozen=True, slots=True)
class Way:
    """How one alert went in one of the ways that the stay may go: the worst stage it came to, and the highest
    bar, per cent, of its line or of its cause; NaN where it is not known."""

    stage: Stage
    bar: float


@dataclass(frozen=True, slots=True)
class Lesson:
    """The alerts of one line, or one of something else, by the worst of them, which came at `worst_at`;
    `raised` is when the first was, and `stood` that this was before the beginning, `overdue` that what
    it asks for was due before it. `times` is how often they were raised as it went, 0 for what only nothing
    done would have brought: then all of it is of that.

    `seen_from` is the first time at which it could be known, by the hours ahead or a caution, NaN where it
    came without; `moves` what the best plan does about it, each with its round; `deeds` what was done about
    it on deck, `answers` who was called about it and what was read.
    """

    cause: Cause
    subject: str
    line: str | None
    raised: float
    worst_at: float
    stood: bool
    overdue: bool
    over: float
    times: int
    text: str
    seen_from: float
    moves: tuple[tuple[Round, Move], ...]
    deeds: tuple[Judged, ...]
    answers: tuple[Work, ...]
    went: Way
    nothing: Way
    best: Way


@dataclass(frozen=True, slots=True, eq=False)
class Lived:
    """One way that the stay went."""

    alerts: Sequence[AlertScore]
    events: Sequence[Event]
    course: Course


def lessons_of(
    stay: Stay,
    went: Lived,
    nothing: Lived,
    best: Lived,
    plan: Plan,
    judged: Sequence[Judged],
    works: Sequence[Work],
) -> tuple[Lesson, ...]:
    """Return a lesson for each line, or else each cause and subject, whose alerts came to a warning or worse,
    as it went or with nothing done, in the order in which they came; where none did, to a caution. `works` is
    all that was ordered."""
    alerts = [each for each in (*went.alerts, *nothing.alerts) if each.cause not in LEFT_OUT]
    least = min(Stage.WARNING, max((each.stage for each in alerts), default=Stage.WARNING))
    things = dict.fromkeys(_thing(each) for each in alerts if each.stage >= least)
    found = [_lesson(thing, least, (went, nothing, best), plan, judged, (works, stay)) for thing in things]
    return tuple(sorted(found, key=lambda each: each.raised))


Thing = tuple[str, str]


def _thing(alert: AlertScore) -> Thing:
    """What one lesson is about: all that was the matter with a line but its parting."""
    if alert.episode.line is not None and alert.cause != "parted":
        return "line", alert.episode.line
    return alert.cause, alert.subject


def _lesson(
    thing: Thing,
    least: Stage,
    ways: tuple[Lived, Lived, Lived],
    plan: Plan,
    judged: Sequence[Judged],
    ordered: tuple[Sequence[Work], Stay],
) -> Lesson:
    own = [
        [each for each in way.alerts if each.cause not in LEFT_OUT and _thing(each) == thing] for way in ways
    ]
    told = own[0] if any(each.stage >= least for each in own[0]) else own[1]
    worst = max(told, key=lambda each: each.stage)
    cause = worst.episode.cause
    first = min(told, key=lambda each: each.raised_at)
    raised = first.raised_at
    over = max(inf if isnan(each.episode.over) else each.episode.over for each in told)
    line = worst.episode.line
    lines = ways[0].course.lines
    bearing: frozenset[str] = frozenset().union(*(each.bearing for each in told))
    of_line = frozenset({line}) if line is not None else bearing
    return Lesson(
        cause,
        worst.subject,
        line,
        raised,
        worst.episode.worst_at,
        first.episode.stood,
        first.overdue,
        over,
        len(told) if told is own[0] else 0,
        worst.episode.worst_text,
        _seen_from(ways[0].events, told, worst),
        tuple((each, move) for each in plan.rounds for move in each.moves if lines[move.line] in of_line),
        tuple(each for each in judged if _about(each, bearing | of_line, over)),
        answers_to(cause, worst.subject, over + LATER_S, *ordered),
        *(
            Way(
                max((each.stage for each in alerts), default=Stage.NORMAL),
                _highest(way.course, cause, line, raised, over),
            )
            for way, alerts in zip(ways, own, strict=True)
        ),
    )


def _seen_from(events: Sequence[Event], told: Sequence[AlertScore], worst: AlertScore) -> float:
    """Return when the hours ahead, or a caution of the same, first said so."""
    first = min(each.raised_at for each in told)
    warned = [each.time for each in events if each.alert == "ahead" and _foretells(each, worst)]
    calls = [call.since for each in told for call in each.calls if call.stage >= Stage.WARNING]
    came = min(calls, default=first)
    early = [time for time in (*warned, first) if time < came]
    return min(early, default=nan)


def _foretells(event: Event, worst: AlertScore) -> bool:
    """Return whether the hours ahead say of a line, or of that same cause of the ship, what is to come."""
    if worst.episode.line is not None:
        return event.line == worst.episode.line
    name = condition(worst.cause, worst.subject, None)
    return event.line is None and event.text.lower().startswith(f"{name.lower()}: ")


def _about(deed: Judged, bearing: frozenset[str], over: float) -> bool:
    line = getattr(deed.work.order.action, "line", None)
    return deed.work.order.time <= over + LATER_S and (line in bearing if line is not None else bool(bearing))


def _highest(course: Course, cause: Cause, line: str | None, begin: float, end: float) -> float:
    """Return the highest bar while the alert stood."""
    first = max(int((begin - course.start) // MINUTE_S), 0)
    last = None if end == inf else int((end - course.start) // MINUTE_S) + 1
    if line in course.lines:
        bars = course.line_bar[first:last, course.lines.index(line)]
    elif cause in OF_THE_SHIP:
        bars = course.ship_bar[first:last, OF_THE_SHIP.index(cause)]
    else:
        return nan
    return nan if np.isnan(bars).all() else float(np.nanmax(bars))
