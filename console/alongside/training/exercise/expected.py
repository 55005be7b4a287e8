"""Section `expected:` of an exercise file: deeds that the trainer expects, and whether they were done."""

import re
from collections.abc import Sequence
from typing import Any, Final

from alongside.actions import Action, CallOut, ChangeCargo, Done, ReadByHand, SayTransfer, TendLine
from alongside.errors import WrongInput
from alongside.stay.fields import TEXT, TIME, Field, choice, known, listed
from alongside.stay.model import Stay
from alongside.stay.nodes import Node, shown
from alongside.stay.records import optional, record, required
from alongside.training.exercise.action_rows import KINDS
from alongside.training.exercise.course import Course
from alongside.training.exercise.crew import Work
from alongside.training.exercise.judged import JUDGED, LEAST, Judged, Verdict, verdict_of
from alongside.training.exercise.model import Exercise, Expected
from alongside.units import iso_time
from alongside.wording.typed_order import ORDER_WORDS, order_typed

ORDERS: Final = f"{ORDER_WORDS}, slack 4"
OF_A_DEED: Final = ("line", "whom", "channel", "way")
_TENDED: Final = re.compile(r"(?P<way>slack|heave)\s+(?:line\s+)?(?P<line>\S+)", re.IGNORECASE)
TOKEN: Final = 0.05
"""A deed that changes less than this part of what its line costs is a token of one. Ours, no source."""


def expected_of(stay: Stay | None) -> Field[tuple[Expected, ...]]:
    """Return the list. `stay` None: it could not be read, and no name is checked."""
    lines = TEXT if stay is None else known({line.id: line for line in stay.lines}, "line")
    heard = [] if stay is None else [each.channel for feed in stay.feeds for each in feed.channels]
    channels = TEXT if stay is None else known(dict.fromkeys(heard), "channel of the feeds")
    return listed(
        record(
            _expected,
            _fits,
            deed=optional(choice(*KINDS)),
            order=optional(_order_of(stay)),
            since=required(TIME),
            by=required(TIME),
            why=required(TEXT),
            line=optional(lines),
            whom=optional(choice("master", "terminal", "linesmen", "tugs", "pilot", "engineer")),
            channel=optional(channels),
            way=optional(choice("slack", "heave")),
        )
    )


def _order_of(stay: Stay | None) -> Field[dict[str, Any]]:
    """Return an order as it is typed at the console, read into keys of what is expected."""

    def read(node: Node) -> dict[str, Any]:
        text = TEXT.read(node)
        try:
            return {} if stay is None or not text else keys_of_order(stay, text)
        except WrongInput as wrong:
            node.fault(f"{shown(node.word)} is no order", str(wrong).removeprefix("expected "))
            return {}

    return Field(f"an order, such as {ORDERS}", read)


def keys_of_order(stay: Stay, text: str) -> dict[str, Any]:
    """Return the keys that say what is expected by an order in the words of the console. Raise WrongInput
    with what was expected."""
    tended = _TENDED.fullmatch(" ".join(text.split()))
    if tended is not None:
        if all(line.id != tended["line"] for line in stay.lines):
            raise WrongInput(f"expected a line of the stay, {', '.join(line.id for line in stay.lines)}")
        return {"deed": "tend", "line": tended["line"], "way": tended["way"].lower()}
    action = order_typed(stay, text)
    match action:
        case CallOut(whom, about):
            heard = {source.channel for feed in stay.feeds for source in feed.channels}
            if about and about not in heard:
                raise WrongInput(f"expected nothing behind {whom!r}, or a channel of the feeds")
            return {"deed": "call", "whom": whom, "channel": about or None}
        case ChangeCargo(what, operation):
            names = [each.name for each in stay.cargo]
            if operation and operation not in names:
                raise WrongInput(f"expected an operation of the plan, {', '.join(names)}")
            return {"deed": "cargo", "what": what, "operation": operation}
        case SayTransfer(connected):
            return {"deed": "transfer", "what": "connected" if connected else "disconnected"}


def _expected(*, order: dict[str, Any] | None = None, deed: str = "", **keys: Any) -> Expected:
    return Expected(**{"deed": deed, **keys, **(order or {})})


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
    if expected.deed == "cargo" and expected.what in (None, "stopped"):
        return ChangeCargo("stopped", expected.operation)
    if expected.deed == "transfer" and expected.what in (None, "disconnected"):
        return SayTransfer(False)
    return None


def _is_meant(expected: Expected, action: Any) -> bool:
    if type(action) is not KINDS[expected.deed]:
        return False
    if isinstance(action, ChangeCargo) and not _is_of_cargo(expected, action):
        return False
    if isinstance(action, SayTransfer) and action.connected != (expected.what == "connected"):
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


def _is_of_cargo(expected: Expected, action: ChangeCargo) -> bool:
    """Return whether it is done to the cargo that is meant: to all of it, which one order also does of which
    one operation was meant."""
    if expected.operation and action.operation not in ("", expected.operation):
        return False
    return action.what == expected.what if expected.what else action.what in ("stopped", "rate")


def _way(action: Any) -> str | None:
    """Return which way a line was tended; None for one tended to a load."""
    if not isinstance(action, TendLine):
        return ""
    if action.paid_out is None:
        return None
    return "slack" if action.paid_out > 0.0 else "heave"


def _fits(node: Node, expected: Expected) -> None:
    if ("order" in node) == ("deed" in node):
        node.fault("one of both is needed", "either `deed`, or `order`")
    elif "order" in node and any(key in node for key in OF_A_DEED):
        node["order"].fault("says all of what is expected", f"none of {', '.join(OF_A_DEED)}")
    if expected.by < expected.since:
        node["by"].fault("before it is expected", f"not before {iso_time(expected.since)}")
    if expected.way is not None and expected.deed != "tend":
        node["way"].fault("only a tending has one", "`deed: tend`")
    if expected.whom is not None and expected.deed != "call":
        node["whom"].fault("only a call has one", "`deed: call`")
