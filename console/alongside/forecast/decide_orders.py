"""What a limit of wind calls for, in which order, and how long before."""

from collections.abc import Sequence
from math import isnan
from typing import Final

from alongside.forecast.decided import DecideRow, LimitToCome, when
from alongside.stay.model import LeadTimes, Order

Chain = tuple[Order, ...]
"""What takes its time one after the other until the limit is reached, what is ordered first."""
CHAINS: Final[dict[str, tuple[Chain, ...]]] = {
    "stop_cargo": (("stop_cargo",),),
    "tugs": (("tugs",),),
    "disconnect": (("stop_cargo", "disconnect"), ("gang", "disconnect"), ("disconnect",)),
    "leave": (("leave",), ("tugs", "leave"), ("pilot", "leave"), ("gang", "leave")),
}
WHILE_CONNECTED: Final[tuple[Chain, ...]] = (
    ("leave",),
    ("tugs", "leave"),
    ("pilot", "leave"),
    ("stop_cargo", "disconnect", "leave"),
    ("gang", "disconnect", "leave"),
    ("disconnect", "leave"),
)
"""To leave, where arms or hoses are connected."""
NONE_IF_NOT_GIVEN: Final[frozenset[Order]] = frozenset({"stop_cargo", "leave"})
"""What takes no time where the stay file gives none: the deed itself is then due when the limit is
reached."""


def orders_for(deed: str) -> frozenset[Order]:
    """Return all that is ordered for a limit that calls for a deed, connected or not; none for no deed."""
    chains = (*CHAINS.get(deed, ()), *(WHILE_CONNECTED if deed == "leave" else ()))
    return frozenset(order for chain in chains for order in chain)


def rows_of(lead: LeadTimes, limits: Sequence[LimitToCome]) -> tuple[DecideRow, ...]:
    """Return what is to be ordered, the soonest first, each once: by the limit that calls for it first."""
    first: dict[Order, DecideRow] = {}
    for row in sorted((row for limit in limits for row in orders_of(lead, limit)), key=_soonest):
        first.setdefault(row.order, row)
    return tuple(first.values())


def _soonest(row: DecideRow) -> tuple[float, float]:
    return when(row), row.limit.first


def orders_of(lead: LeadTimes, limit: LimitToCome) -> list[DecideRow]:
    """Return what one limit calls for: tugs, pilot and gang are there, cargo stands still and she is
    disconnected, each in time for what follows it."""
    leaves_connected = limit.do == "leave" and limit.with_transfer
    rows = []
    for chain in WHILE_CONNECTED if leaves_connected else CHAINS[limit.do]:
        seconds = {each: getattr(lead, each) for each in chain}
        seconds |= {each: 0.0 for each in chain if each in NONE_IF_NOT_GIVEN and isnan(seconds[each])}
        lacking = tuple(each for each in chain if isnan(seconds[each]))
        rows.append(DecideRow(chain[0], limit, sum(seconds.values()), lacking))
    return rows
