"""What was done about an alert beside deeds on lines: somebody was called, or sent to read; for the wind to
come something was ordered."""

from collections.abc import Sequence
from math import nan
from typing import Final

from alongside.actions import Action, CallOut, ReadByHand
from alongside.cycle.orders_given import answer_of
from alongside.forecast.decide_orders import orders_for
from alongside.stay.causes import Cause
from alongside.stay.model import Stay
from alongside.training.exercise.course import OF_THE_SHIP
from alongside.training.exercise.crew import Work

FOR_THE_SHIP: Final[frozenset[Cause]] = frozenset({*OF_THE_SHIP, "parted"})
"""Alerts for which master, terminal, linesmen and tugs are called."""


def answers_to(
    cause: Cause, subject: str, until: float, works: Sequence[Work], stay: Stay
) -> tuple[Work, ...]:
    """Return calls, readings and orders, given up to a UNIX time, that are about an alert: of a feed those
    about its channels, of the ship and of a line that parted those of who can help, of what is to be decided
    those that it asks for."""
    channels = {each.channel for feed in stay.feeds if feed.name == subject for each in feed.channels}
    return tuple(
        work
        for work in works
        if not work.why_not
        and work.order.time <= until
        and (_is_about(work, cause, channels) or gives_order(work.order.action, cause, subject))
    )


def gives_order(action: Action, cause: str, subject: str) -> bool:
    """Return whether a deed gives an order that the alert `decide` of a deed asks for."""
    answer = answer_of(action, nan) if cause == "decide" else None
    return answer is not None and answer.order in orders_for(subject)


def _is_about(work: Work, cause: Cause, channels: set[str]) -> bool:
    match work.order.action:
        case CallOut("engineer", about):
            return cause == "feed" and (not about or about in channels)
        case CallOut():
            return cause in FOR_THE_SHIP
        case ReadByHand(values=values):
            return cause == "feed" and any(name in channels for name, _ in values)
    return False
