"""Section `expected:` of an exercise file: deeds that the trainer expects, and whether they were done."""

from collections.abc import Sequence
from typing import Any, Final

from alongside.actions import Action, CallOut, ChangeCargo, Done, ReadByHand, SayTransfer, TendLine
from alongside.stay.fields import TEXT, TIME, Field, choice, known, listed
from alongside.stay.model import Stay
from alongside.stay.nodes import Node
from alongside.stay.records import optional, record, required
from alongside.training.exercise.actions_file import KINDS
from alongside.training.exercise.course import Course
from alongside.training.exercise.crew import Work
from alongside.training.exercise.judged import JUDGED, LEAST, Judged, Verdict, verdict_of
from alongside.training.exercise.model import Exercise, Expected
from alongside.units import iso_time

TOKEN: Final = 0.05
"""A deed that changes less than this part of what its line costs is a token of one. Ours, no source."""


def expected_of(stay: Stay | None) -> Field[tuple[Expected, ...]]:
    """Return the list. `stay` None: it could not be read, and no name is checked."""
    lines = TEXT if stay is None else known({line.id: line for line in stay.lines}, "line")
    heard = [] if stay is None else [each.channel for feed in stay.feeds for each in feed.channels]
    channels = TEXT if stay is None else known(dict.fromkeys(heard), "channel of the feeds")
    return listed(
        record(
            Expected,
            _fits,
            deed=required(choice(*KINDS)),
            since=required(TIME),
            by=required(TIME),
            why=required(TEXT),
            line=optional(lines),
            whom=optional(choice("master", "terminal", "linesmen", "tugs", "pilot", "engineer")),
            channel=optional(channels),
            way=optional(choice("slack", "heave")),
        )
    )


def met_of(expected: Expected, works: Sequence[Work]) -> Work | None:
    """Return the first order that is what the trainer expects, in time; None where there is none."""
    return next(iter(_meant(expected, works)), None)


def came_of(
    expected: Expected, works: Sequence[Work], judged: Sequence[Judged], nothing: Course, went: Course
) -> Verdict:
    """Return what all orders changed that are what the trainer expects, in time: of a line, or else of the
    ship, as a breast is hove against wind to come while it is well itself. A call or a reading helps
    by being there."""
    orders = _meant(expected, works)
    if orders and not isinstance(orders[0].order.action, JUDGED):
        return "helped"
    deeds = [each for each in judged if each.work in orders]
    saved = sum(each.without - each.went for each in deeds)
    if abs(saved) < max(LEAST, TOKEN * sum(each.without for each in deeds)):
        saved = sum(nothing.of_ship(d.work.end, d.until) - went.of_ship(d.work.end, d.until) for d in deeds)
    return verdict_of(saved)


def _meant(expected: Expected, works: Sequence[Work]) -> list[Work]:
    return [
        work
        for work in works
        if expected.since <= work.order.time <= expected.by
        and not work.why_not
        and _is_meant(expected, work.order.action)
    ]


def orders_of(exercise: Exercise) -> tuple[Done, ...]:
    """Return the expected deeds that are whole as they stand, each ordered when it may be first."""
    return tuple(
        Done(max(each.since, exercise.start), action)
        for each in exercise.expected
        if (action := whole_of(each)) is not None
    )


def whole_of(expected: Expected) -> Action | None:
    """Return the deed that is expected where it is whole as it stands: a call, cargo that is stopped, arms or
    hoses disconnected; None for any other."""
    if expected.deed == "call" and expected.whom is not None:
        return CallOut(expected.whom, expected.channel or "")
    whole: dict[str, Action] = {"cargo": ChangeCargo("stopped"), "transfer": SayTransfer(False)}
    return whole.get(expected.deed)


def _is_meant(expected: Expected, action: Any) -> bool:
    if type(action) is not KINDS[expected.deed]:
        return False
    if expected.line is not None and getattr(action, "line", None) != expected.line:
        return False
    if expected.whom is not None and getattr(action, "whom", None) != expected.whom:
        return False
    if expected.channel is not None:
        read = [name for name, _ in action.values] if isinstance(action, ReadByHand) else []
        named = getattr(action, "channel", None) or getattr(action, "about", None)
        if expected.channel not in (*read, named):
            return False
    return expected.way is None or _way(action) in (expected.way, None)


def _way(action: Any) -> str | None:
    """Return which way a line was tended; None for one tended to a load."""
    if not isinstance(action, TendLine):
        return ""
    if action.paid_out is None:
        return None
    return "slack" if action.paid_out > 0.0 else "heave"


def _fits(node: Node, expected: Expected) -> None:
    if expected.by < expected.since:
        node["by"].fault("before it is expected", f"not before {iso_time(expected.since)}")
    if expected.way is not None and expected.deed != "tend":
        node["way"].fault("only a tending has one", "`deed: tend`")
    if expected.whom is not None and expected.deed != "call":
        node["whom"].fault("only a call has one", "`deed: call`")
