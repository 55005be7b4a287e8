"""Section `berth:`, what the ship lies at. Berth frame throughout."""

from typing import Final

from alongside.stay.curves import FENDER_TABLE
from alongside.stay.fields import TEXT, listed, named, number
from alongside.stay.model import Berth, Bollard, CurveRows, Fender, Point
from alongside.stay.records import exactly_one, optional, record, required


def _bollard(x: float, y: float, z: float, swl_kn: float | None = None) -> Bollard:
    return Bollard(Point(x, y, z), swl_kn)


def _berth(
    name: str,
    bearing_of_x: float,
    bollards: dict[str, Bollard],
    charted_depth: float | None = None,
    fenders: tuple[Fender, ...] = (),
) -> Berth:
    return Berth(name, bearing_of_x, charted_depth, bollards, fenders)


def _fender(x: float, stiffness_kn_per_m: float | None = None, table: CurveRows = ()) -> Fender:
    return Fender(x, stiffness_kn_per_m, table)


BOLLARD: Final = record(
    _bollard,
    x=required(number("m", least=-5000, most=5000)),
    y=required(number("m", least=-500, most=500)),
    z=required(number("m", least=-20, most=50)),
    swl_kn=optional(number("kN", above=0)),
)

FENDER: Final = record(
    _fender,
    exactly_one("stiffness_kn_per_m", "table"),
    x=required(number("m", least=-5000, most=5000)),
    stiffness_kn_per_m=optional(number("kN/m", above=0)),
    table=optional(FENDER_TABLE),
)

BERTH: Final = record(
    _berth,
    name=required(TEXT),
    bearing_of_x=required(number("deg", least=0, most=360)),
    charted_depth=optional(number("m", least=-20, most=200)),
    bollards=required(named(BOLLARD, least=1)),
    fenders=optional(listed(FENDER)),
)
