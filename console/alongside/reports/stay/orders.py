"""What was to be ordered for the wind to come in a stay, as its record has it: what, by when and why, and who
ordered it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import isnan, nan
from typing import Final

from alongside.actions import Correct
from alongside.alerts.model import Event
from alongside.cycle.orders_given import (
    SUBJECTS,
    Answered,
    Answers,
    answer_of,
    answers_after,
    last_of,
    without,
)
from alongside.record.reader import Done
from alongside.stay.model import Order
from alongside.wording.decide import DEEDS

OVER: Final = frozenset({"rectified", "cleared"})


@dataclass(frozen=True, slots=True)
class OrderOnRecord:
    """`text` is what the alert said of it last: what, by when and why, first `named` at UNIX s. `answered`
    when it was given and `by` whom, `over` when no limit called for it any more; NaN where neither was."""

    order: Order
    deed: str
    named: float
    text: str
    answered: float = nan
    by: str = ""
    over: float = nan

    @property
    def is_open(self) -> bool:
        return isnan(self.answered) and isnan(self.over)


def orders_on_record(events: Sequence[Event], actions: Sequence[Done]) -> tuple[OrderOnRecord, ...]:
    """Return each order that an alert has named, in the order of naming; one named again once it was given or
    over is another."""
    rows: list[OrderOnRecord] = []
    happened: list[Event | Done] = [*(each for each in events if each.alert == "decide"), *actions]
    answers: Answers = ()
    for each in sorted(happened, key=lambda one: one.time):
        if isinstance(each, Event):
            rows = _after_alert(rows, each)
        else:
            rows, answers = _after_deed(rows, answers, each)
    return tuple(rows)


def _after_alert(rows: list[OrderOnRecord], event: Event) -> list[OrderOnRecord]:
    # `Disconnect by 03:40`, not `Disconnected 03:35`: that is said once it is given.
    named = (order for order, deed in DEEDS.items() if event.text.startswith((f"{deed} ", f"{deed}:")))
    order = next(named, None)
    deed = event.subject or ""
    if event.event in OVER:
        return [replace(row, over=event.time) if row.is_open and row.deed == deed else row for row in rows]
    if order is None:
        return rows
    at = next((at for at, row in enumerate(rows) if row.is_open and row.order == order), None)
    if at is None:
        return [*rows, OrderOnRecord(order, deed, event.time, event.text)]
    return [*rows[:at], replace(rows[at], deed=deed, text=event.text), *rows[at + 1 :]]


def _after_deed(
    rows: list[OrderOnRecord], answers: Answers, done: Done
) -> tuple[list[OrderOnRecord], Answers]:
    """Return the rows, and all that was entered, after one deed."""
    if isinstance(done.action, Correct) and done.action.line in SUBJECTS:
        last = last_of(answers, done.action.line)
        return _without(rows, last), without(answers, last)
    answers = answers_after(answers, done.action, done.time)
    answer = answer_of(done.action, done.time)
    if answer is None:
        return rows, answers
    given = [row.is_open and row.order == answer.order for row in rows]
    return [
        replace(row, answered=answer.at, by=answer.by) if is_given else row
        for row, is_given in zip(rows, given, strict=True)
    ], answers


def _without(rows: list[OrderOnRecord], answer: Answered | None) -> list[OrderOnRecord]:
    """Return the rows without an answer that is taken back."""
    if answer is None or answer.order is None:
        return rows
    return [
        replace(row, answered=nan, by="") if (row.order, row.answered) == (answer.order, answer.at) else row
        for row in rows
    ]
