"""Section `beside:`, ships and barges that lie between her and the quay or on her other side."""

from collections.abc import Mapping
from typing import Any, Final

from alongside.stay.coefficients import CURRENT_COEFFICIENTS
from alongside.stay.fields import TIME, Field, by_shape, choice, listed, named, number, rising, row
from alongside.stay.model import Beside, CurrentCoefficients, WindAreas
from alongside.stay.nodes import Node
from alongside.stay.records import optional, record, required
from alongside.stay.wind_areas import wind_of
from alongside.units import iso_time

DRAUGHT: Final = number("m", above=0, most=40)
DRAUGHTS: Final = by_shape(
    DRAUGHT.then(lambda draught: ((0.0, draught),)),
    listed(
        row(time=TIME, draught=DRAUGHT),
        rising(lambda each: each[0], "time", iso_time),
        least=1,
    ),
)
SIZE: Final = ("ship_x", "length", "breadth")


def _beside(draught: tuple[tuple[float, float], ...], **given: Any) -> Beside:
    given.pop("depth", None)
    return Beside(draughts=draught, **given)


def _sized_outside(node: Node, ship: Beside) -> None:
    """Her size is for the wind and current that come on our lines; inside they come on her own."""
    for key in SIZE:
        if ship.lies == "outside" and key not in node:
            node.missing(key, "a number in m: of a ship outside, for wind and current on her")
    for key in (*SIZE, "depth", "wind", "current"):
        if ship.lies == "inside" and key in node:
            node[key].fault(f"{key} of a ship inside", "none: her own lines hold her, her place is fixed")


def _wind_of(length: float | None, breadth: float | None, depth: float | None) -> Field[WindAreas]:
    return wind_of(length or 0.0, length or 0.0, breadth or 0.0, depth or 0.0)


BESIDE: Final[Field[Mapping[str, Beside]]] = named(
    record(
        _beside,
        _sized_outside,
        lies=required(choice("inside", "outside")),
        draught=required(DRAUGHTS),
        ship_x=optional(number("m", least=-100, most=700)),
        length=optional(number("m", above=0, most=600)),
        breadth=optional(number("m", above=0, most=100)),
        depth=optional(number("m", above=0, most=60)),
        wind=optional(_wind_of, knowing=("length", "breadth", "depth")),
        current=optional(record(CurrentCoefficients, coefficients=required(CURRENT_COEFFICIENTS))),
    ),
    least=1,
)
