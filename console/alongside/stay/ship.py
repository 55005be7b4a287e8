"""Section `ship:`, the hull and what on it holds and leads the lines. Ship frame throughout."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, Final

from alongside.stay.coefficients import CURRENT_COEFFICIENTS
from alongside.stay.fields import TEXT, Field, Unread, force, named, number
from alongside.stay.fittings import Fitting, Hull, fairlead_of, key_given
from alongside.stay.hydrostatics import hydrostatics_of
from alongside.stay.model import CurrentCoefficients, HoldPlace, Marks, Point, Ship
from alongside.stay.nodes import Node
from alongside.stay.records import optional, record, required
from alongside.stay.winches import in_kn, winch_of
from alongside.stay.wind_areas import wind_of

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
            key_given(node, axis).fault(
                f"{value:g} is not on board", f"between {low:g} and {high:g} m, ship frame"
            )


def _ship(fairleads: Mapping[str, Fitting], **values: Any) -> Ship:
    """Return the ship with every brake that is set to a share of the ship design MBL in kN."""
    points = {name: each.at for name, each in fairleads.items()} or Unread()
    rated = {name: each.swl_kn for name, each in fairleads.items() if each.swl_kn is not None}
    ship = Ship(fairleads=points, chocks=rated, **values)
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


CURRENT: Final = record(CurrentCoefficients, coefficients=required(CURRENT_COEFFICIENTS))

HOLD: Final = record(
    HoldPlace,
    x=required(number("m", least=-100, most=700)),
    y=optional(number("m", least=-60, most=60)),
)


def _on_hull(make: Callable[[Hull], Field[Any]], least: int = 0) -> Callable[..., Field[Any]]:
    """Return what makes the field of a table of fittings of one kind from the hull they are on."""
    return lambda loa, lbp, depth, overhang: named(make(Hull(loa, lbp, depth, overhang)), least=least)


HULL: Final = ("loa", "lbp", "depth", "overhang_aft")

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
    rail_z=optional(number("m", above=0, most=80)),
    overhang_aft=optional(number("m", least=-10, most=60)),
    marks=required(MARKS),
    fairleads=required(_on_hull(fairlead_of, least=1), knowing=HULL),
    winches=optional(_on_hull(winch_of), knowing=HULL),
    wind=optional(wind_of, knowing=("loa", "lbp", "breadth", "depth")),
    current=optional(CURRENT),
    hydrostatics=optional(hydrostatics_of, knowing=("lbp", "breadth")),
    holds=optional(named(HOLD)),
    design_mbl_kn=optional(force(above=0)),
    gm=optional(number("m", above=0, most=30)),
)
