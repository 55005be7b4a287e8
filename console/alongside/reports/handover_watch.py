"""Rows on how the watch is kept: standing orders, hand-over with the initials of both, self-test."""

from collections.abc import Iterator
from typing import Final

from alongside.cycle.picture import Picture
from alongside.stay.model import StandingOrder
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

NOT_WATCHED: Final = (
    "Text only: a figure in an order is not watched, unless a limit of the stay file says the same."
)
READ: Final = "Whoever takes over has read them: the initials stand for that."


def hand_over_rows(picture: Picture, clock: DayClock) -> Iterator[str]:
    """Yield who took over and who handed over, or whose initials are outstanding; and the self-test."""
    keeping = picture.watchkeeping
    last, test = keeping.hand_over, keeping.self_test
    if last is not None:
        taken = f"taken over by {safe(last.by) or 'nobody named'} {clock(last.at)}"
        if keeping.outstanding:
            yield f"{taken}; {safe(keeping.outstanding)} outstanding"
        else:
            at = "" if last.handed_at is None else f" {clock(last.handed_at)}"
            yield f"{taken}, handed over by {safe(last.handed_by)}{at}"
    if test is not None:
        by = f" by {safe(test.by)}" if test.by else ""
        older = last is not None and test.at < last.at
        yield f"self-test {clock(test.at)}{by}: {safe(test.words)}{', the watch before' if older else ''}"
    if test is None or (last is not None and test.at < last.at):
        yield "no self-test in this watch"


def order_rows(picture: Picture, clock: DayClock) -> Iterator[str]:
    """Yield the standing orders by their numbers, those withdrawn, and what becomes of them."""
    orders = picture.watchkeeping.orders(picture.stay)
    for number, order in enumerate(orders, start=1):
        yield f"{number:>2}  {safe(order.text)}{given_words(order, clock)}"
    if not orders:
        yield "none"
    for gone in picture.watchkeeping.withdrawn:
        by = f" by {safe(gone.by)}" if gone.by else ""
        yield f" -  withdrawn {clock(gone.at)}{by}: {safe(gone.text)}"
    if orders:
        yield NOT_WATCHED
        yield READ


def given_words(order: StandingOrder, clock: DayClock) -> str:
    """Return ` (Master, 02 Mar 16:00)`, as far as it is known."""
    parts = [safe(order.by)] if order.by else []
    parts += [] if order.at is None else [clock(order.at)]
    return f" ({', '.join(parts)})" if parts else ""
