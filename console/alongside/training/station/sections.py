"""What an instructor is shown beside the trainee's picture, in words."""

from collections.abc import Iterator, Sequence
from math import inf, isfinite, isnan
from typing import Final

from alongside.actions import TendLine
from alongside.stay.model import Display
from alongside.training.exercise.conduct import Attempt
from alongside.training.exercise.course import MINUTE_S, Course
from alongside.training.exercise.crew import Work
from alongside.training.exercise.expected import met_of
from alongside.training.exercise.instructed_text import done_words, in_order, injection_words
from alongside.training.exercise.lessons_text import expected_words
from alongside.training.exercise.model import Exercise, Injection
from alongside.training.exercise.yardstick import Yardstick
from alongside.training.station.follower import Follower
from alongside.wording.actions import order_words
from alongside.wording.figures import figure, metres, percent
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.names import channel
from alongside.wording.safe import safe
from alongside.wording.times import clock, span

Sections = tuple[tuple[str, tuple[str, ...]], ...]
_AT: Final = "%H:%M:%S"


def sections_of(
    exercise: Exercise, now: float, follower: Follower, measure: tuple[Yardstick | None, bool]
) -> Sections:
    """Return headings with their rows at a time of the stay, UNIX s; headings without rows are left out."""
    known, is_new = measure
    rows: list[tuple[str, Iterator[str]]] = [
        ("How it goes", _how(exercise, now, follower.course, known)),
        ("Not what the gauges show", _truth(follower, exercise.stay.display)),
        ("To come", _to_come(exercise, now)),
        ("What a good watch would do", _good(exercise, now, follower.works, known, is_new)),
        ("What was ordered, newest first", _orders(follower.works, now, exercise.stay.display)),
        ("What you did, newest first", _did(exercise, now)),
    ]
    return tuple((head, each) for head, found in rows if (each := tuple(found)))


def trainee_words(attempt: Attempt | None, exercise: Exercise, now: float) -> str:
    """Return who the trainee is and how long it goes on: `A. Example, exam, 3 h 05 min to go`."""
    name = safe(attempt.trainee) if attempt is not None and attempt.trainee else "No name"
    kind = "exam" if attempt is not None and attempt.exam else "practice"
    return f"{name}, {kind}, {span(max(exercise.end - now, 0.0))} to go"


def _how(exercise: Exercise, now: float, course: Course, known: Yardstick | None) -> Iterator[str]:
    went = _cost(course, exercise.start, now)
    if known is None:
        yield f"cost so far {figure(went)}; what it is measured by is being worked out"
        return
    nothing, best = (_cost(each.course, exercise.start, now) for each in (known.nothing, known.best))
    yield (
        f"cost so far {figure(went)}; with nothing done {figure(nothing)}, by the best plan {figure(best)} "
        "(minutes at a stage by their weights)"
    )


def _cost(course: Course, start: float, now: float) -> float:
    return course.of_all(start, now + MINUTE_S / 2.0)


def _truth(follower: Follower, display: Display) -> Iterator[str]:
    for name, shows, really in follower.shown_and_true():
        shown = "shows nothing" if isnan(shows) else f"{figure(shows, 2)}"
        yield f"{channel(name)}: {shown}, really {figure(really, 2)}"
    for line, shows, really in follower.loads():
        shown = NOT_KNOWN if isnan(shows) else percent(shows)
        yield f"line {safe(line)}: {shown} of its working limit by the gauges, really {percent(really)}"


def _to_come(exercise: Exercise, now: float) -> Iterator[str]:
    display = exercise.stay.display
    coming = [(float(getattr(each, "at", -inf)), each) for each in exercise.injections]
    for at, each in sorted(coming, key=lambda pair: pair[0]):
        if at > now:
            yield f"{clock(at, display, _AT)}  {injection_words(each, display)}, in {span(at - now)}"
        elif _lasts(each, at, now):
            yield f"until {clock(_end(each, at), display, _AT)}  {injection_words(each, display)}"
    yield f"{clock(exercise.end, display, _AT)}  the exercise ends"


def _end(injection: Injection, at: float) -> float:
    return at + float(getattr(injection, "seconds", 0.0))


def _lasts(injection: Injection, at: float, now: float) -> bool:
    return at <= now < _end(injection, at)


def _good(
    exercise: Exercise, now: float, works: Sequence[Work], known: Yardstick | None, is_new: bool
) -> Iterator[str]:
    display = exercise.stay.display
    for wanted in exercise.expected:
        met = met_of(wanted, works)
        name = expected_words(wanted)
        spell = f"{clock(wanted.since, display)} to {clock(wanted.by, display)}"
        if met is not None:
            yield f"{spell}  {name}: ordered {clock(met.order.time, display, _AT)}"
        elif wanted.since <= now:
            late = "not ordered in time" if wanted.by < now else f"within {span(wanted.by - now)}"
            yield f"{spell}  {name}: {late}"
        else:
            yield f"{spell}  {name}: {safe(wanted.why)}"
    if known is None:
        return
    lines = known.nothing.lines
    for each in known.plan.rounds:
        if each.latest >= now:
            moves = ", ".join(
                f"{'slack' if move.pay_out_m >= 0.0 else 'heave'} {safe(lines[move.line])} "
                f"{metres(abs(move.pay_out_m))}"
                for move in each.moves
            )
            begin = max(each.not_before, each.lengths_from)
            yield f"{clock(begin, display)} to {clock(each.latest, display)}  {moves}"
    for order in known.best.works:
        if not isinstance(order.order.action, TendLine) and order.order.time >= now:
            yield f"{clock(order.order.time, display)}  {order_words(order.order.action)}"
    if not is_new:
        yield "(without what was put in last: that is being worked out)"


def _orders(works: Sequence[Work], now: float, display: Display) -> Iterator[str]:
    for work in sorted(works, key=lambda each: each.order.time, reverse=True):
        if work.order.time > now:
            continue
        if work.why_not:
            state = f"not done: {safe(work.why_not)}"
        elif work.end <= now:
            state = f"done {clock(work.end, display, _AT)}"
        elif work.leave <= now and isfinite(work.end):
            state = f"at work until {clock(work.end, display, _AT)}"
        else:
            state = "waits"
        yield f"{clock(work.order.time, display, _AT)}  {order_words(work.order.action)}: {state}"


def _did(exercise: Exercise, now: float) -> Iterator[str]:
    display = exercise.stay.display
    for at, did in reversed(in_order(exercise)):
        yield f"{clock(at, display, _AT)}  {done_words(did, display)}"
