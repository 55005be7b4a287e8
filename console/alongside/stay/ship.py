"""Section `ship:`, the hull and what on it holds and leads the lines. Ship frame throughout."""

from dataclasses import replace
from itertools import pairwise
from typing import Any, Final

from alongside.stay.coefficients import CURRENT_COEFFICIENTS, WIND_COEFFICIENTS
from alongside.stay.fields import TEXT, listed, named, number, rising, whole
from alongside.stay.model import (
    CurrentCoefficients,
    HoldPlace,
    HydrostaticRow,
    Marks,
    Point,
    Ship,
    WindAreas,
)
from alongside.stay.nodes import Node
from alongside.stay.records import POINT, optional, record, required
from alongside.stay.winches import WINCH, in_kn

HIGHEST_FITTING: Final = 20.0
"""m above the deck amidships: forecastles and their fairleads stand above it, not towers."""


def _marks_in_order(node: Node, marks: Marks) -> None:
    if marks.fwd <= marks.aft:
        node["fwd"].fault(f"{marks.fwd:g} is not forward of the aft marks", f"more than {marks.aft:g}")


def _perpendiculars_within(node: Node, ship: Ship) -> None:
    if ship.lbp > 1.02 * ship.loa:
        node["lbp"].fault(f"{ship.lbp:g} is longer than the ship over all", f"at most {ship.loa:g}")


def _fittings_on_board(node: Node, ship: Ship) -> None:
    for name, point in ship.fairleads.items():
        _on_board(node["fairleads"][name], point, ship)
    for name, winch in ship.winches.items():
        _on_board(node["winches"][name], winch.at, ship)


def _on_board(node: Node, point: Point, ship: Ship) -> None:
    side, top = ship.breadth / 2 + 1.0, ship.depth + HIGHEST_FITTING
    for axis, value, low, high in (
        ("x", point.x, -0.1 * ship.loa, 1.1 * ship.loa),
        ("y", point.y, -side, side),
        ("z", point.z, 0.0, top),
    ):
        if value < low or value > high:
            node[axis].fault(f"{value:g} is not on board", f"between {low:g} and {high:g} m, ship frame")


def _ship(**values: Any) -> Ship:
    """Return the ship with every brake that is set to a share of the ship design MBL in kN."""
    ship = Ship(**values)
    shares = ship.design_mbl_kn is not None and any(winch.brake_set for winch in ship.winches.values())
    return replace(ship, winches=in_kn(ship)) if shares else ship


def _brakes_set_of_something(node: Node, ship: Ship) -> None:
    for name, winch in ship.winches.items():
        if winch.brake_set is not None and winch.brake_kn is None:
            node["winches"][name]["brake_set"].fault(
                "a share of what", "ship.design_mbl_kn, or brake_kn here"
            )


MARKS: Final = record(
    Marks,
    _marks_in_order,
    fwd=required(number("m")),
    aft=required(number("m")),
)


def _profile_given(node: Node, areas: WindAreas) -> None:
    if areas.coefficients == "isherwood" and areas.perimeter_m is None:
        node["coefficients"].fault("isherwood needs the perimeter of the side", "perimeter_m beside it, m")


WIND: Final = record(
    WindAreas,
    _profile_given,
    front_m2=required(number("m2", above=0)),
    side_m2=required(number("m2", above=0)),
    at_draught=required(number("m", above=0, most=40)),
    side_centroid_x=optional(number("m")),
    coefficients=optional(WIND_COEFFICIENTS),
    perimeter_m=optional(number("m", above=0)),
    superstructure_m2=optional(number("m2", least=0)),
    mast_groups=optional(whole(least=0, most=20)),
)

CURRENT: Final = record(CurrentCoefficients, coefficients=required(CURRENT_COEFFICIENTS))

DISAGREEMENT: Final = 0.02
"""How far displacement may rise off what TPC makes of it between two rows."""


def _agrees_with_itself(node: Node, rows: tuple[HydrostaticRow, ...]) -> None:
    """Refuses a table whose displacement and TPC contradict each other: one of them was copied wrongly."""
    for place, (low, high) in enumerate(pairwise(rows), start=1):
        rise = high.displacement - low.displacement
        by_tpc = (high.draught - low.draught) * 100.0 * (low.tpc + high.tpc) / 2.0
        if by_tpc > 0.0 and abs(rise - by_tpc) > DISAGREEMENT * by_tpc:
            between = f"from {low.draught:g} to {high.draught:g} m"
            node[place]["displacement"].fault(
                f"rises by {rise:.0f} t {between}, TPC makes it {by_tpc:.0f} t",
                "displacement and TPC within 2 % of each other",
            )


HYDROSTATICS: Final = listed(
    record(
        HydrostaticRow,
        draught=required(number("m", above=0, most=40)),
        displacement=required(number("t", above=0)),
        tpc=required(number("t/cm", above=0)),
        mctc=required(number("t m/cm", above=0)),
        lcf=required(number("m")),
    ),
    rising(lambda row: row.draught, "draught"),
    _agrees_with_itself,
    least=2,
)

HOLD: Final = record(
    HoldPlace,
    x=required(number("m", least=-100, most=700)),
    y=optional(number("m", least=-60, most=60)),
)

SHIP: Final = record(
    _ship,
    _brakes_set_of_something,
    _perpendiculars_within,
    _fittings_on_board,
    name=required(TEXT),
    loa=required(number("m", above=0, most=600)),
    lbp=required(number("m", above=0, most=600)),
    breadth=required(number("m", above=0, most=100)),
    depth=required(number("m", above=0, most=60)),
    marks=required(MARKS),
    fairleads=required(named(POINT, least=1)),
    winches=optional(named(WINCH)),
    wind=optional(WIND),
    current=optional(CURRENT),
    hydrostatics=optional(HYDROSTATICS),
    holds=optional(named(HOLD)),
    design_mbl_kn=optional(number("kN", above=0)),
    gm=optional(number("m", above=0, most=30)),
)
