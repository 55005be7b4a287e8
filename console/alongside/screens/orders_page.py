"""The standing orders of the master: with who gave them and when, and those withdrawn."""

from collections.abc import Hashable, Iterator
from math import isfinite
from typing import Final

from textual.strip import Strip

from alongside.reports.handover_watch import NOT_WATCHED, READ, given_words
from alongside.screens.board import Board, scroll_by, scrolled
from alongside.screens.rows import Piece, strip, wrap
from alongside.screens.view import View
from alongside.wording.figures import counted
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

HOW: Final = "O enters one; the stay file holds those of the master."
NOT_YET: Final = "Orders given during the stay are not known yet: waiting for the first figures"


class OrdersPage(Board):
    def basis(self, view: View) -> Hashable:
        is_known = isfinite(view.watch.time)
        return (view.watch.watchkeeping, view.stay.standing_orders, view.stay.display, view.scroll, is_known)

    def move(self, view: View, step: int) -> View:
        return scroll_by(view, step, len(list(_rows(view, self.size.width))), self.size.height)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        rows = [strip([row], width, view.palette.text) for row in _rows(view, width)]
        return scrolled(rows, view, width, height)


def _rows(view: View, width: int) -> Iterator[Piece]:
    palette, keeping = view.palette, view.watch.watchkeeping
    clock = DayClock(view.stay.display, view.watch.time)
    orders = keeping.orders(view.stay)
    count = counted(len(orders), "standing order") if orders else "No standing orders"
    if not isfinite(view.watch.time):
        count = NOT_YET
    yield f"  {count}", palette.strong
    yield "", palette.text
    for number, order in enumerate(orders, start=1):
        head, *rest = wrap(safe(order.text), width - 8) or [""]
        yield f"  {number:>2}  {head}", palette.strong
        yield from ((f"      {row}", palette.strong) for row in rest)
        if given := given_words(order, clock):
            yield f"     {given}", palette.label
    for gone in keeping.withdrawn:
        by = f" by {safe(gone.by)}" if gone.by else ""
        for row in wrap(f"withdrawn {clock(gone.at)}{by}: {safe(gone.text)}", width - 8):
            yield f"      {row}", palette.label
    yield "", palette.text
    for text in (NOT_WATCHED, READ) if orders else (HOW,):
        yield from ((f"  {row}", palette.label) for row in wrap(text, width - 4))
