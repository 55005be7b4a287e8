"""The form of the standing orders: one more, or one withdrawn by its number."""

import re
from typing import Final

from alongside.actions import GiveOrder, WithdrawOrder
from alongside.screens.form import MOST_INITIALS, Form
from alongside.screens.refusal import Refused
from alongside.screens.view import View
from alongside.stay.standing_orders import LONGEST, MOST
from alongside.wording.safe import safe

_WITHDRAW: Final = re.compile(r"withdraw +(\d{1,3})", re.IGNORECASE | re.ASCII)


class OrderForm(Form):
    fields = (("text", "Order", 0), ("by", "given by", 9))
    of_watch = False

    def hint(self, view: View) -> str:
        return "An order in one line, or: withdraw 2    Text only: no figure in it is watched"

    def read(self, view: View, values: dict[str, str]) -> tuple[GiveOrder | WithdrawOrder, str]:
        text, by = safe(values["text"]).strip(), safe(values["by"]).strip()[:MOST_INITIALS]
        orders = view.watch.watchkeeping.orders(view.stay)
        if not text:
            raise Refused("the order is empty")
        withdraws = _WITHDRAW.fullmatch(text)
        if withdraws is not None:
            number = int(withdraws[1])
            if not 1 <= number <= len(orders):
                expected = f"1 to {len(orders)}" if orders else "none: there are no orders"
                raise Refused(f"there is no order {number}, expected {expected}")
            order = orders[number - 1].text
            _by_somebody(by)
            return WithdrawOrder(order, by), f"order {number} withdrawn: {safe(order)}"
        if len(text) > LONGEST:
            raise Refused(f"the order has {len(text)} characters, expected at most {LONGEST}: give two")
        if len(orders) >= MOST:
            raise Refused(f"there are {len(orders)} orders, expected at most {MOST}: withdraw one first")
        if text in {order.text for order in orders}:
            raise Refused("that order stands already")
        _by_somebody(by)
        return GiveOrder(text, by), f"standing order: {text}"


def _by_somebody(by: str) -> None:
    if not by:
        raise Refused("no initials; expected those of who gives or withdraws it")
