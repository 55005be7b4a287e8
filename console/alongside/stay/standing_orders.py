"""Section `standing_orders:`, what the master wants done without being asked again, in words."""

from typing import Any, Final

from alongside.stay.fields import TIME, Field, by_shape, listed, word
from alongside.stay.model import StandingOrder
from alongside.stay.nodes import Node
from alongside.stay.records import optional, record, required

LONGEST: Final = 200
MOST: Final = 20
LONGEST_NAME: Final = 20
TEXT: Final = word(f"an order in one line of up to {LONGEST} characters", rf"\S|\S.{{0,{LONGEST - 2}}}\S")
WHO: Final = word(f"who gave it, up to {LONGEST_NAME} characters", rf"\S|\S.{{0,{LONGEST_NAME - 2}}}\S")


def _not_too_many(node: Node, orders: tuple[Any, ...]) -> None:
    if len(orders) > MOST:
        node[MOST].fault(f"{len(orders)} orders", f"at most {MOST}: what is too much is not read")


def _each_once(node: Node, orders: tuple[StandingOrder, ...]) -> None:
    seen: set[str] = set()
    for place, order in enumerate(orders):
        if order.text and order.text in seen:
            node[place].fault("the same as an order before", "each order once")
        seen.add(order.text)


STANDING_ORDERS: Final[Field[tuple[StandingOrder, ...]]] = listed(
    by_shape(
        TEXT.then(StandingOrder),
        record(StandingOrder, text=required(TEXT), by=optional(WHO), at=optional(TIME)),
    ),
    _not_too_many,
    _each_once,
)
