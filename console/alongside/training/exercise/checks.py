"""Checks of an exercise file: its times, its log, injections beside each other."""

from dataclasses import replace
from math import ceil, isnan, nan
from typing import Final

from alongside.errors import WrongInput
from alongside.feeds.log import FeedLog
from alongside.stay.model import GaugeFault
from alongside.stay.nodes import Node
from alongside.training.exercise.model import (
    Exercise,
    ForgottenLine,
    Freeze,
    Gust,
    Injection,
    Mark,
    PartedLine,
)
from alongside.training.exercise.vary_section import check_equals
from alongside.units import iso_time

REPLACING: Final = frozenset({"silent", "frozen", "false_zero"})
"""Troubles of which a gauge has only one at a time; a spike may come during any."""
CYCLE_S: Final = 1.0


def within_bounds(node: Node, exercise: Exercise) -> None:
    """Add what does not fit to the faults. A time that could not be read is among them already."""
    _log_holds_it(node, exercise)
    if isnan(exercise.start + exercise.end):
        return
    if exercise.end <= exercise.start:
        node["end"].fault("the end is not after the start", f"later than {iso_time(exercise.start)}")
        return
    for place, injection in enumerate(exercise.injections):
        beside = replace(exercise, injections=exercise.injections[:place])
        check_beside(_node_of(node, exercise, place), injection, beside)
    check_equals(node, exercise)
    for place, expected in enumerate(exercise.expected):
        if expected.by < exercise.start or expected.since > exercise.end:
            begin, end = iso_time(exercise.start), iso_time(exercise.end)
            node["expected"][place]["by"].fault(
                "nobody can do it within the exercise", f"a time between {begin} and {end}"
            )
    for place, stood in enumerate(exercise.stood):
        if stood.at > exercise.start:
            node["stood"][place]["at"].fault(
                "after the exercise begins", f"not after {iso_time(exercise.start)}"
            )
    for place, mark in enumerate(exercise.instructed.marks):
        _in_time(node["instructor"]["marks"][place], exercise, mark)
    for place, freeze in enumerate(exercise.instructed.freezes):
        _in_time(node["instructor"]["freezes"][place], exercise, freeze)


def check_beside(node: Node, injection: Injection, exercise: Exercise) -> None:
    """Add what does not fit of an injection that comes to those that an exercise has."""
    _in_time(node, exercise, injection)
    if isinstance(injection, PartedLine):
        _parts_once(node, injection, exercise.injections)
    if isinstance(injection, GaugeFault):
        _alone(node, injection, exercise.injections)


def _node_of(node: Node, exercise: Exercise, place: int) -> Node:
    """Return where an injection stands: those of the instructor, in a section of their own, come last."""
    own = len(exercise.injections) - len(exercise.instructed.injections)
    return node["injections"][place] if place < own else node["instructor"]["injections"][place - own]


def _log_holds_it(node: Node, exercise: Exercise) -> None:
    if not exercise.log:
        return
    try:
        first, last = _log_span(exercise)
    except WrongInput as wrong:
        node["log"].fault(f"cannot be read ({wrong})", "a feed log")
        return
    if isnan(first):
        node["log"].fault("no line with a time", "sentences with TAG blocks")
        return
    if exercise.start < ceil(first):
        node["start"].fault("before the log begins", f"not before {iso_time(ceil(first))}")
    if exercise.end > last + CYCLE_S:
        node["end"].fault("after the log ends", f"not after {iso_time(last)}")


def _log_span(exercise: Exercise) -> tuple[float, float]:
    """First time in the log, and last; of a log that goes on beyond the exercise, one beyond it. NaN where
    there is none."""
    first = next((batch.time[0] for batch in FeedLog(exercise.log, stay=exercise.stay) if len(batch)), nan)
    if not isnan(exercise.end):
        beyond = next(
            (
                batch.time[-1]
                for batch in FeedLog(exercise.log, exercise.end, stay=exercise.stay)
                if len(batch)
            ),
            nan,
        )
        if not isnan(beyond):
            return first, beyond
    last = max(
        (batch.time[-1] for batch in FeedLog(exercise.log, stay=exercise.stay) if len(batch)), default=nan
    )
    return first, last


def _in_time(node: Node, exercise: Exercise, injection: Injection | Mark | Freeze) -> None:
    """Within the exercise, from its beginning to its end."""
    start, end = exercise.start, exercise.end
    at = getattr(injection, "at", start)
    if at < start or at > end:
        node["at"].fault("outside the exercise", f"between {iso_time(start)} and {iso_time(end)}")
    elif isinstance(injection, GaugeFault | Gust) and at + injection.seconds > end:
        given = "until" if "until" in node else "seconds"
        node[given].fault(f"goes on beyond the end, {iso_time(end)}", f"at most {max(end - at, 0.0):g} s")
    forgotten = injection.tend_at if isinstance(injection, ForgottenLine) else None
    if forgotten is not None and forgotten >= start and exercise.tending == "trainee":
        node["tend_at"].fault("left to the trainee already", "one before the start, or `tending: stay`")


def _parts_once(node: Node, parted: PartedLine, earlier: tuple[Injection, ...]) -> None:
    if parted.line and any(isinstance(one, PartedLine) and one.line == parted.line for one in earlier):
        node["line"].fault(f"line {parted.line} has parted already", "each line once")


def _alone(node: Node, trouble: GaugeFault, earlier: tuple[Injection, ...]) -> None:
    """Two troubles that replace the value of a gauge must not overlap."""
    for one in earlier:
        if (
            isinstance(one, GaugeFault)
            and one.channel == trouble.channel
            and {one.kind, trouble.kind} <= REPLACING
            and one.at < trouble.end
            and trouble.at < one.end
        ):
            spell = f"{iso_time(one.at)} to {iso_time(one.end)}"
            node["at"].fault(f"{trouble.channel} is {one.kind} from {spell}", "troubles that do not overlap")
            return
