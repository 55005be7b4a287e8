"""What was to be ordered for the wind to come in a stay, as its record has it: what, by when and why, and who
ordered it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import isnan, nan
from typing import Final

from alongside.actions import Correct
from alongside.alerts.model import Event
from alongside.cycle.decide_memory import answer_of
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
    for each in sorted(happened, key=lambda one: one.time):
        rows = _after_alert(rows, each) if isinstance(each, Event) else _after_deed(rows, each)
    return tuple(rows)


def _after_alert(rows: list[OrderOnRecord], event: Event) -> list[OrderOnRecord]:
    order = next((order for order, deed in DEEDS.items() if event.text.startswith(deed)), None)
    deed = event.subject or ""
    if event.event in OVER:
        return [replace(row, over=event.time) if row.is_open and row.deed == deed else row for row in rows]
    if order is None:
        return rows
    at = next((at for at, row in enumerate(rows) if row.is_open and row.order == order), None)
    if at is None:
        return [*rows, OrderOnRecord(order, deed, event.time, event.text)]
    return [*rows[:at], replace(rows[at], deed=deed, text=event.text), *rows[at + 1 :]]


def _after_deed(rows: list[OrderOnRecord], done: Done) -> list[OrderOnRecord]:
    if answer := answer_of(done.action, done.time):
        given = [row.is_open and row.order == answer.order for row in rows]
        return [
            replace(row, answered=answer.at, by=answer.by) if is_given else row
            for row, is_given in zip(rows, given, strict=True)
        ]
    if isinstance(done.action, Correct) and done.action.line in ("call", "transfer"):
        of_transfer = done.action.line == "transfer"
        return list(_taken_back(rows, "disconnect" if of_transfer else None))
    return rows


def _taken_back(rows: Sequence[OrderOnRecord], order: Order | None) -> Iterator[OrderOnRecord]:
    """Yield the rows, the answer that was given last, of an order or of any, taken back."""
    given = [row.answered for row in rows if not isnan(row.answered) and order in (None, row.order)]
    last = max(given, default=nan)
    yield from (replace(row, answered=nan, by="") if row.answered == last else row for row in rows)
