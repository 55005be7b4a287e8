"""Section `cargo:`, the operations planned: where by hold or tank, or by x and y; how much by two of tonnes,
rate and end."""

from collections.abc import Mapping
from functools import partial
from math import isnan, nan

from alongside.stay.fields import NAME, TIME, Field, known, listed, number
from alongside.stay.model import CargoOperation, HoldPlace, Ship
from alongside.stay.nodes import Node
from alongside.stay.records import exactly_one, optional, record, required

SIZES = ("tonnes", "rate", "end")


def cargo_of(ship: Ship) -> Field[tuple[CargoOperation, ...]]:
    """The operations on a ship, whose holds they may name."""
    return listed(
        record(
            partial(_operation, ship.holds),
            exactly_one("x", "hold"),
            _named,
            _sized,
            _moves_something,
            name=optional(NAME),
            start=required(TIME),
            end=optional(TIME),
            tonnes=optional(number("t")),
            rate=optional(number("t/h")),
            hold=optional(known(ship.holds, "hold or tank")),
            x=optional(number("m", least=-100, most=700)),
            y=optional(number("m", least=-60, most=60)),
        )
    )


def _operation(
    holds: Mapping[str, HoldPlace],
    *,
    start: float,
    name: str = "",
    hold: str = "",
    x: float = 0.0,
    y: float = 0.0,
    tonnes: float | None = None,
    rate: float | None = None,
    end: float = nan,
) -> CargoOperation:
    """What two of tonnes, rate and end leave open follows from them; a rate without tonnes says by its sign
    which way. NaN where they do not hang together."""
    place = holds.get(hold, HoldPlace(x, y))
    hours = (end - start) / 3600.0 if end > start else nan
    if tonnes is None:
        tonnes, rate = nan if rate is None else rate * hours, nan if rate is None else abs(rate)
    elif rate is None:
        rate = abs(tonnes) / hours
    return CargoOperation(name or hold, start, tonnes, rate, place.x, place.y)


def _named(node: Node, _operation: CargoOperation) -> None:
    if "name" not in node and "hold" not in node:
        node.fault("no name", "name, or the hold or tank")
    if "hold" in node and "y" in node:
        node["y"].fault("hold and y together", "y only beside x")


def _sized(node: Node, operation: CargoOperation) -> None:
    """Two of tonnes, rate and end say the third."""
    given = [name for name in SIZES if name in node]
    if len(given) == 3:
        node["end"].fault("tonnes, rate and end together", "two of them")
    elif len(given) < 2:
        node.fault("amount and pace missing", "two of tonnes, rate and end")
    elif "end" in given and isnan(operation.tonnes + operation.rate):
        node["end"].fault("not after the start", "a later time")


def _moves_something(node: Node, operation: CargoOperation) -> None:
    if "tonnes" in node and operation.tonnes == 0:
        node["tonnes"].fault("0 t changes nothing", "tonnes loaded, or discharged as a negative number")
    if "rate" in node and (operation.rate == 0 or ("tonnes" in node and operation.rate < 0)):
        node["rate"].fault(
            f"{operation.rate:g} t/h", "a rate above 0; without tonnes, below 0 where it discharges"
        )
