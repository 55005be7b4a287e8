"""What alerts `decide` of an exercise ask for, and by when; ordered by a watch that does what they say, and
whether it was ordered in time."""

from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import dataclass, replace
from math import isfinite, nan
from typing import Final

import numpy as np

from alongside.actions import Action, CallOut, ChangeCargo, Done, PutTug, SayTransfer
from alongside.alerts.measures import due_levels
from alongside.cycle.block import Block
from alongside.cycle.decide_memory import as_remembered
from alongside.cycle.memory import Memory
from alongside.cycle.orders_given import answer_of
from alongside.forecast.decided import DecideRow
from alongside.stay.model import Order, Stay
from alongside.stay.stage import Stage
from alongside.training.exercise.course import MINUTE_S
from alongside.training.exercise.crew import Work

ACTIONS: Final[dict[Order, Action]] = {
    "stop_cargo": ChangeCargo("stopped"),
    "gang": CallOut("linesmen"),
    "tugs": CallOut("tugs"),
    "pilot": CallOut("pilot"),
    "disconnect": SayTransfer(False),
}
"""What is ordered for each, in the order in which it is: nobody disconnects while cargo goes on. To leave is
nothing that an exercise knows."""
OF_ONE_KIND: Final = (ChangeCargo, SayTransfer)
"""Deeds of which the last one says how things stand."""


@dataclass(frozen=True, slots=True)
class Called:
    """An order that a warning called for from `since` on, UNIX s. It was to be given `by` then, which is when
    it was due; no sooner than a warning comes before that. `raised` is when it was to be had in mind.
    `overdue`: it was due before the exercise began, and nobody could give it in time."""

    order: Order
    since: float
    by: float
    raised: float
    overdue: bool = False


class OrdersCalled:
    """Follows what is called for from the start of an exercise on, UNIX s, block by block."""

    def __init__(self, start: float) -> None:
        self._start = start
        self._found: dict[Order, Called] = {}

    @property
    def called(self) -> tuple[Called, ...]:
        """Return the orders, the first first; without those for which no limit was expected any more before
        they were due."""
        return tuple(sorted(self._found.values(), key=lambda each: each.since))

    def copied(self) -> "OrdersCalled":
        """Return a copy that follows for itself."""
        other = copy(self)
        other._found = dict(self._found)
        return other

    def add(self, block: Block, memory: Memory, stay: Stay) -> None:
        """Add a block, with the memory after it."""
        limits = next((each.limits for each in block.assessment.rules if each.cause == "decide"), None)
        if limits is None or memory.foresight is None:
            return
        first, last = (float(block.readings.time[at]) for at in (0, -1))
        decisions = as_remembered(memory.decided, memory.foresight.decisions, stay, last)
        rows = {each.order: each for each in decisions.rows} if decisions is not None else {}
        for order, called in tuple(self._found.items()):
            if last < called.by and decisions is not None and not called.overdue:
                self._follow(called, rows.get(order))
        for order, row in rows.items():
            if order in ACTIONS and order not in self._found and row.is_open:
                self._begin(row, limits, (first, last))

    def _follow(self, called: Called, row: DecideRow | None) -> None:
        """Follow what is not due yet: given until later where it is due later, none where it is no more."""
        if row is None:
            del self._found[called.order]
        elif row.due > called.by:
            self._found[called.order] = replace(called, by=row.due)

    def _begin(self, row: DecideRow, limits: tuple[float, float, float], block: tuple[float, float]) -> None:
        first, last = block
        due = row.due if isfinite(row.due) else row.limit.first
        minutes, chance = np.array([[max(due - last, 0.0) / MINUTE_S]]), np.array([row.limit.chance])
        if due_levels(minutes, chance, np.array([limits]).T)[0, 0] < Stage.WARNING:
            return
        before, warned = (MINUTE_S * each for each in limits[:2])
        since = max(first, due - warned)
        self._found[row.order] = Called(
            row.order, since, max(due, since + warned), due - before, since == self._start and due < since
        )


def orders_asked_for(called: Iterable[Called]) -> tuple[Done, ...]:
    """Return the orders that a good watch gives, each when a warning first called for it."""
    since = {each.order: each.since for each in called}
    if "disconnect" in since and "stop_cargo" in since:
        since["disconnect"] = max(since["disconnect"], since["stop_cargo"])
    return tuple(Done(since[order], action) for order, action in ACTIONS.items() if order in since)


def in_time(called: Called, works: Sequence[Work]) -> bool:
    """Return whether an order was given by the time at which it was due, and stood then; cargo and arms not
    before that was to be had in mind."""
    given = [each for each in works if not each.why_not and each.order.time <= called.by]
    if called.order == "tugs" and any(isinstance(each.order.action, PutTug) for each in given):
        return True
    kind = type(ACTIONS[called.order])
    alike = [each for each in given if type(each.order.action) is kind]
    answers = [order_of(each.order.action) == called.order for each in alike]
    if kind in OF_ONE_KIND:
        return bool(answers) and answers[-1] and alike[-1].order.time >= called.raised
    return any(answers)


def too_early(called: Sequence[Called], work: Work) -> bool:
    """Return whether an order was given before it was to be had in mind."""
    order = order_of(work.order.action)
    return any(each.order == order and work.order.time < each.raised for each in called)


def order_of(action: Action) -> Order | None:
    """Return which order a deed gives; None for none."""
    answer = answer_of(action, nan)
    return None if answer is None else answer.order
