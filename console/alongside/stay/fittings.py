"""Places of fairleads, bitts and winches on board, as drawings and a tape give them, and what the ship's
fittings that a line passes may bear."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from math import isnan, nan
from typing import Final

from alongside.stay.fields import Field, force, number
from alongside.stay.model import Line, Place, Point, Ship
from alongside.stay.model.guess import Guess
from alongside.stay.nodes import Node
from alongside.stay.records import Key, exactly_one, optional, record, required

ALONG: Final = ("x", "from_stem", "from_stern")
HEIGHT: Final = ("z", "above_deck")


@dataclass(frozen=True, slots=True)
class Hull:
    """What fittings are measured from, m: `overhang_aft` is from the aft perpendicular to the stern, None
    where the file does not say."""

    loa: float
    lbp: float
    depth: float
    overhang_aft: float | None = None


@dataclass(frozen=True, slots=True)
class Fitting:
    """A fairlead and its SWL."""

    at: Point
    swl_kn: float | None = None


def usual_overhang(loa: float, lbp: float) -> float:
    """Return how far the stern lies aft of the perpendicular where that is not known: half of what loa is
    more than lbp, give or take as much."""
    return (loa - lbp) / 2.0


def from_stem(distance: float, loa: float, overhang_aft: float) -> float:
    """Return x of what lies so far aft of the stem."""
    return loa - overhang_aft - distance


def from_stern(distance: float, overhang_aft: float) -> float:
    """Return x of what lies so far forward of the stern."""
    return distance - overhang_aft


def on_deck(above: float, depth: float) -> float:
    """Return z of what stands so far above the main deck, negative below it."""
    return depth + above


def point_keys(hull: Hull) -> dict[str, Key]:
    """Return the keys that a place on board is given by."""
    return {
        "x": optional(number("m")),
        "from_stem": optional(_from_end(hull, lambda far, aft: from_stem(far, hull.loa, aft))),
        "from_stern": optional(_from_end(hull, from_stern)),
        "y": required(number("m")),
        "z": optional(number("m")),
        "above_deck": optional(number("m", least=-40, most=40).then(lambda far: on_deck(far, hull.depth))),
    }


def _from_end(hull: Hull, x_of: Callable[[float, float], float]) -> Field[float]:
    far = number("m", least=-20, most=600)

    def read(node: Node) -> float:
        return x_of(far.read(node), _overhang(hull, node))

    return Field(far.expected, read)


def _overhang(hull: Hull, node: Node) -> float:
    if hull.overhang_aft is not None:
        return hull.overhang_aft
    usual = usual_overhang(hull.loa, hull.lbp)
    if isnan(usual) or usual <= 0.0:
        return usual
    source = "half of loa less lbp, common practice"
    return node.estimates.note(Guess("ship.overhang_aft", usual, usual, "m", source))


def point_of(
    y: float,
    x: float | None = None,
    from_stem: float | None = None,
    from_stern: float | None = None,
    z: float | None = None,
    above_deck: float | None = None,
) -> Point:
    """Return the place that is given one way along and one way up."""
    along = next((each for each in (x, from_stem, from_stern) if each is not None), nan)
    up = next((each for each in (z, above_deck) if each is not None), nan)
    return Point(along, y, up)


STATIONS: Final = ("ship_x", "from_stem", "from_stern")


def place_on(ship: Ship | None) -> Field[Place]:
    """Return the field of the place of a ship at her berth: her station by x, from the stem or from the
    stern, as her fittings are measured, so that what an overhang is off by is off in both."""
    known = (nan, nan, nan) if ship is None else (ship.loa, ship.lbp, ship.depth)
    hull = Hull(*known, None if ship is None else ship.overhang_aft)
    along = point_keys(hull)
    stations = record(
        _place,
        exactly_one(*STATIONS),
        ship_x=along["x"],
        from_stem=along["from_stem"],
        from_stern=along["from_stern"],
        berth_x=required(number("m")),
    )
    expected = "a table with ship_x, berth_x"

    def read(node: Node) -> Place:
        if node.is_table:
            return stations.read(node)
        node.entries(expected)
        return Place(nan, nan)

    return Field(expected, read)


def _place(
    berth_x: float,
    ship_x: float | None = None,
    from_stem: float | None = None,
    from_stern: float | None = None,
) -> Place:
    given = (each for each in (ship_x, from_stem, from_stern) if each is not None)
    return Place(next(given, nan), berth_x)


def _fitting(swl_kn: float | None = None, **place: float) -> Fitting:
    return Fitting(point_of(**place), swl_kn)


def fairlead_of(hull: Hull) -> Field[Fitting]:
    return record(
        _fitting,
        exactly_one(*ALONG),
        exactly_one(*HEIGHT),
        **point_keys(hull),
        swl_kn=optional(force(above=0)),
    )


def key_given(node: Node, axis: str) -> Node:
    """Return the value that gives an axis of a place on board, whichever way it is given."""
    ways = {"x": ALONG, "y": ("y",), "z": HEIGHT}[axis]
    return next((node[way] for way in ways if way in node), node[axis])


def fittings_passed(ship: Ship, line: Line) -> Mapping[str, float]:
    """Return the SWL, kN, of the ship's fittings that a line passes, where it is known: `chock F1`, `bitts
    P1`."""
    passed: dict[str, float] = {}
    if line.fairlead in ship.chocks:
        passed[f"chock {line.fairlead}"] = ship.chocks[line.fairlead]
    bitts = ship.winches.get(line.winch or "")
    if bitts is not None and bitts.swl_kn is not None:
        passed[f"bitts {line.winch}"] = bitts.swl_kn
    return passed


def with_fittings(ship: Ship, line: Line) -> Line:
    """Return the line with the least SWL of the fittings that it passes."""
    passed = fittings_passed(ship, line)
    least = min(passed.values()) if passed else None
    return line if least == line.fittings_kn else replace(line, fittings_kn=least)
