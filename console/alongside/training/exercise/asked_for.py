"""What alerts `decide` of an exercise ask for, ordered by a watch that does what they say."""

from collections.abc import Iterator
from typing import Final

from alongside.actions import Action, CallOut, ChangeCargo, Done, SayTransfer
from alongside.alerts.episodes import episodes_of
from alongside.forecast.decide_orders import orders_for
from alongside.stay.model import Order
from alongside.stay.stage import Stage
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import Run

ACTIONS: Final[tuple[tuple[Order, Action], ...]] = (
    ("stop_cargo", ChangeCargo("stopped")),
    ("gang", CallOut("linesmen")),
    ("tugs", CallOut("tugs")),
    ("pilot", CallOut("pilot")),
    ("disconnect", SayTransfer(False)),
)
"""What is ordered for each, in the order in which it is: nobody disconnects while cargo goes on."""


def orders_asked_for(exercise: Exercise, nothing: Run) -> tuple[Done, ...]:
    """Return what alerts call for with nothing done, each ordered when one of them first came to a warning;
    none where the exercise shows no times to decide by."""
    if exercise.stay.decide is None:
        return ()
    first: dict[str, float] = {}
    for deed, at in _called(nothing):
        for order in orders_for(deed):
            first[order] = min(first.get(order, at), at)
    if "disconnect" in first and "stop_cargo" in first:
        first["disconnect"] = max(first["disconnect"], first["stop_cargo"])
    return tuple(Done(first[order], action) for order, action in ACTIONS if order in first)


def _called(run: Run) -> Iterator[tuple[str, float]]:
    """Yield deeds, and when an alert of each called."""
    for episode in episodes_of(run.events, run.standing, run.start):
        if episode.cause == "decide" and episode.worst >= Stage.WARNING:
            yield from ((episode.subject, max(call.since, run.start)) for call in episode.calls[:1])
