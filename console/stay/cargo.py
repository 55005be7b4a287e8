"""Section `cargo:`, the operations planned."""

from typing import Final

from console.stay.fields import NAME, TIME, listed, number, optional, record, required
from console.stay.model import CargoOperation
from console.stay.nodes import Node


def _moves_something(node: Node, operation: CargoOperation) -> None:
    if operation.tonnes == 0:
        node["tonnes"].fault("0 t moves nothing", "tonnes loaded, or discharged as a negative number")


CARGO: Final = listed(
    record(
        CargoOperation,
        _moves_something,
        name=required(NAME),
        start=required(TIME),
        tonnes=required(number("t")),
        rate=required(number("t/h", above=0)),
        x=required(number("m", least=-100, most=700)),
        y=optional(number("m", least=-60, most=60)),
    )
)
