"""The part of a debrief that teaches, in words: who, how many points and for what, what happened and what was
to be done."""

from collections.abc import Iterator, Mapping
from math import isnan
from typing import Final

from alongside.forecast.decide_orders import orders_for
from alongside.stay.causes import Cause
from alongside.stay.model import Display, Stay
from alongside.training.exercise.answered import gives_order
from alongside.training.exercise.asked_for import ACTIONS, Called
from alongside.training.exercise.conduct import Attempt
from alongside.training.exercise.crew import Work
from alongside.training.exercise.debrief import Debrief
from alongside.training.exercise.expected import whole_of
from alongside.training.exercise.judged import Judged
from alongside.training.exercise.lessons import Lesson
from alongside.training.exercise.model import Expected
from alongside.training.exercise.points import Points
from alongside.wording.actions import order_words
from alongside.wording.decide import DEEDS
from alongside.wording.figures import counted, figure, metres
from alongside.wording.marks import MARKS, NOT_KNOWN
from alongside.wording.names import cause as cause_words
from alongside.wording.names import channel as channel_words
from alongside.wording.safe import safe
from alongside.wording.times import clock, span

WAYS: Final = ("as done", "with nothing done", "best plan")
NO_PLAN: Final = "no tending was needed, or none would have cured it"
GOOD: Final[Mapping[Cause, str]] = {
    "feed": "send somebody to read it, call the engineer, go by what was read",
    "parted": "call the master; the others carry its load, so ease them or put out another",
    "holding": "call the master, order tugs or put out lines before the wind comes; no slacking",
    "off_fenders": "heave in what hangs slack; call the master, order tugs",
    "drift": "heave in what hangs slack; call the master, order tugs",
    "under_keel": "call the master, stop loading",
    "gangway": "have the gangway landed anew",
    "decide": "order what it names by its time, by the forecast and not by the wind",
    "steep": "lead it farther along, before it comes tight",
}
"""What no plan of rounds has. Common practice, no source."""
CARGO: Final = {"stopped": "stop", "begun": "begin", "rate": "set the rate of", "done": "finish"}
"""What is to be done with cargo, by what then is."""
SCALE: Final = "caution from 70, warning 85, alarm 100"
"""Limits on the bar."""


def who(attempt: Attempt | None, end: float, display: Display) -> Iterator[str]:
    """Return rows of who went through it, when, and how time was kept to."""
    if attempt is None:
        return
    kind = "exam" if attempt.exam else "practice"
    pace = f"at up to {figure(attempt.fastest, 0)} times its pace"
    begun = clock(attempt.begun, display, "%a %d %b %Y %H:%M")
    real = span(attempt.ended - attempt.begun)
    yield f"{safe(attempt.trainee) or 'No name'}, {kind}, {begun}, {real} {pace}"
    early = left_early(attempt, end, display)
    if early:
        yield early
    times = times_words(attempt)
    if times:
        yield times


def left_early(attempt: Attempt, end: float, display: Display) -> str:
    """Return that it was left before the end; "" for who stayed."""
    early = attempt.left_early_s(end)
    if not early:
        return ""
    left = clock(attempt.left_at, display)
    return f"Left at {left}, {span(early)} before the end: what came after that counts as not answered"


def times_words(attempt: Attempt) -> str:
    """Return how time was not kept to; "" where it was."""
    times = [
        counted(number, *things)
        for number, *things in (
            (attempt.pauses, "pause"),
            (attempt.went_back, "time gone back", "times gone back"),
            (attempt.jumped_on, "jump"),
            (attempt.looked_ahead, "look at what comes", "looks at what comes"),
            (attempt.refused, "key that an exam refuses", "keys that an exam refuses"),
        )
        if number
    ]
    stood = f"; stood still for {span(attempt.paused_s)}" if times and attempt.paused_s >= 1.0 else ""
    return f"{', '.join(times)}{stood}"


def points_rows(points: Points) -> Iterator[tuple[str, str, str, str]]:
    """Return rows of a table: part, points, of how many, from what."""
    for part in points.parts:
        yield part.name, figure(part.points, 1), figure(part.most, 0), part.counted
    if points.off:
        yield "pauses, jumps, looks ahead", f"-{figure(points.off, 1)}", "", ""
    yield "all", f"{points.total}", "100", _passed(points)


def _passed(points: Points) -> str:
    if points.mark is None:
        return ""
    if not points.finished:
        return f"NOT PASSED: left before the end (from {points.mark} on)"
    return f"{'passed' if points.passed else 'NOT PASSED'} (from {points.mark} on)"


def lesson_head(lesson: Lesson, display: Display) -> str:
    """Return what happened: when it was at its worst, its words then, and since when."""
    head = f"{clock(lesson.worst_at, display)} {safe(lesson.text)}"
    if not lesson.times:
        return f"{head}, with nothing done"
    if lesson.times == 1 and lesson.raised == lesson.worst_at:
        return head
    alerts = "an alert" if lesson.times == 1 else f"{lesson.times} alerts"
    return f"{head}; {alerts} since {clock(lesson.raised, display)}"


def lesson_rows(lesson: Lesson, debrief: Debrief) -> Iterator[tuple[str, str]]:
    """Return what there is to learn of it: what a row is about, and its words."""
    display = debrief.exercise.stay.display
    yield "To be seen", _seen(lesson, display)
    yield "A good watch", "; ".join(_good(lesson, debrief)) or NO_PLAN
    done = [_deed_words(each, display) for each in lesson.deeds]
    done += [
        f"{order_words(each.order.action)}, ordered {clock(each.order.time, display)}"
        for each in lesson.answers
    ]
    yield "Done", "; ".join(done) if done else "nothing about it"
    ways = tuple(zip((lesson.went, lesson.nothing, lesson.best), WAYS, strict=True))
    worst = ", ".join(f"{name} {MARKS[way.stage]} {way.stage.word}" for way, name in ways)
    yield "What that changed", worst
    if not isnan(lesson.went.bar):
        bars = ", ".join(f"{figure(way.bar, 0)} {name}" for way, name in ways)
        yield "Nearest to a limit", f"{bars} ({SCALE})"


def _seen(lesson: Lesson, display: Display) -> str:
    if lesson.overdue:
        return "it was due before the exercise began: that is not counted"
    if isnan(lesson.seen_from):
        return "it stood when the exercise began" if lesson.stood else "it came without a caution"
    before = span(lesson.raised - lesson.seen_from) if lesson.seen_from < lesson.raised else ""
    early = f", {before} before" if before else ", by its caution"
    return f"from {clock(lesson.seen_from, display)} on{early}"


def _good(lesson: Lesson, debrief: Debrief) -> Iterator[str]:
    display = debrief.exercise.stay.display
    for each, move in lesson.moves:
        way = "slack" if move.pay_out_m >= 0.0 else "heave"
        line = safe(debrief.as_done.run.lines[move.line])
        begin, end = (clock(at, display) for at in (max(each.not_before, each.lengths_from), each.latest))
        when = f"begun between {begin} and {end}" if begin != end else f"begun at {end}"
        yield f"{way} {line} by {metres(abs(move.pay_out_m))}, {when}"
    wanted = [whole_of(each) for each, _ in debrief.expected]
    called = [each for each in debrief.called if _calls_for(lesson, each)]
    called = [each for each in called if ACTIONS[each.order] not in wanted]  # the trainer's time stands below
    for order in called:
        yield f"{DEEDS[order.order].lower()} by {clock(order.by, display)}"
    if not lesson.moves and not called and lesson.cause in GOOD:
        yield GOOD[lesson.cause]
    for expected, _ in debrief.expected:
        planned = expected.deed == "tend" and bool(lesson.moves)  # said already, with metres
        if not planned and _answers(expected, lesson, debrief.exercise.stay):
            yield f"{expected_words(expected)} by {clock(expected.by, display)}"


def _calls_for(lesson: Lesson, called: Called) -> bool:
    """Return whether the alert of a lesson is one that calls for an order which could be given in time."""
    return lesson.cause == "decide" and not called.overdue and called.order in orders_for(lesson.subject)


def _answers(expected: Expected, lesson: Lesson, stay: Stay) -> bool:
    """Return whether an expected deed is about that line, that gauge, or the ship."""
    if lesson.cause == "decide":
        action = whole_of(expected)
        return action is not None and gives_order(action, lesson.cause, lesson.subject)
    if expected.line is not None or lesson.line is not None:
        return expected.line == lesson.line
    if (expected.channel is not None) != (lesson.cause == "feed"):
        return False
    channels = [each.channel for feed in stay.feeds if feed.name == lesson.subject for each in feed.channels]
    return expected.channel is None or expected.channel in channels


def _deed_words(deed: Judged, display: Display) -> str:
    ordered, done = (clock(at, display) for at in (deed.work.order.time, deed.work.end))
    return f"{order_words(deed.work.order.action)}, ordered {ordered}, done {done}: {deed.verdict}"


def expected_rows(expected: Expected, met: Work | None, display: Display) -> tuple[str, str, str]:
    """Return a row of a table: by when, what, and whether it was done."""
    done = "not done in time" if met is None else f"ordered {clock(met.order.time, display)}"
    return clock(expected.by, display), f"{expected_words(expected)}: {safe(expected.why)}", done


def expected_words(expected: Expected) -> str:
    """Return what is expected: `slack line 9`, `call master`, `stop cargo`, `read tide`."""
    if expected.deed == "tend":
        return f"{expected.way or 'tend'} line {safe(expected.line or NOT_KNOWN)}"
    if expected.deed == "transfer":
        return "connect" if expected.what == "connected" else "disconnect"
    if expected.what is not None:
        operation = f" {safe(expected.operation)}" if expected.operation else ""
        return f"{CARGO[expected.what]} cargo{operation}"
    thing = expected.whom or (f"line {safe(expected.line)}" if expected.line else "") or ""
    channel = f" {channel_words(expected.channel)}" if expected.channel else ""
    return f"{cause_words(expected.deed)} {thing}{channel}".replace("  ", " ").strip()
