"""Bollards of section `berth:`, given in the berth frame or as they are measured on the quay: along it from
another one, behind its edge, over the water or below the ship's rail."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from math import isnan, nan
from typing import Any, Final

from alongside.stay.bollard_places import (
    PACED_SPREAD,
    behind_edge,
    below_rail,
    draught_at,
    over_water,
    station_abreast,
)
from alongside.stay.fields import NAME, SWITCH, TIME, Field, force, named, number
from alongside.stay.model import Bollard, Place, Point, Ship, TidePlan
from alongside.stay.model.guess import Guess
from alongside.stay.nodes import Node, one_of, shown
from alongside.stay.records import optional, record
from alongside.stay.riding import HEIGHTS, Stands, all_stands, check_riding
from alongside.stay.tide_level import level_by_table

PACES: Final = "paces"


@dataclass(frozen=True, slots=True)
class Around:
    """What bollards are measured from: the ship in her place, the tide table, the quay's edge and a pace."""

    alongside: str
    place: Place
    ship: Ship
    tide: TidePlan | None
    edge_to_fenders: float | None = None
    pace: float | None = None
    floats: bool = False
    beside: Collection[str] = ()


@dataclass(frozen=True, slots=True)
class Measured:
    """A bollard as the file gives it, None where it does not."""

    x: float | None = None
    from_bollard: str | None = None
    along: float = nan
    y: float | None = None
    set_back: float | None = None
    z: float | None = None
    over_water: float | None = None
    below_rail: float | None = None
    at: float | None = None
    tide: float | None = None
    draught_fwd: float | None = None
    draught_aft: float | None = None
    swl_kn: float | None = None
    dolphin: str = ""
    above_keel: float | None = None
    floats: bool | None = None
    on: str = ""


def _measured(**values: Any) -> Measured:
    return Measured(from_bollard=values.pop("from", None), **values)


def along_of(pace: float | None) -> Field[float]:
    """Return the field of a distance along the quay, m, or paces of a known length."""
    metres = number("m", least=-5000, most=5000, written={"m": 1.0, PACES: pace or nan})

    def read(node: Node) -> float:
        if not node.word.endswith(PACES):
            return metres.read(node)
        if pace is None:
            node.fault(f"{shown(node.word)} of what length", "berth.pace, m")
            return nan
        value = metres.read(node)
        if isnan(value) or not value:
            return value
        return node.estimates.note(
            Guess(node.path, value, PACED_SPREAD * abs(value), "m", "paced, common practice")
        )

    return Field(metres.expected, read)


def measured_of(pace: float | None) -> Field[Measured]:
    return record(
        _measured,
        _one_way_along,
        x=optional(number("m", least=-5000, most=5000)),
        **{"from": optional(NAME)},
        along=optional(along_of(pace)),
        y=optional(number("m", least=-500, most=500)),
        set_back=optional(number("m", least=-50, most=500)),
        z=optional(number("m", least=-20, most=50)),
        over_water=optional(number("m", least=-5, most=50)),
        below_rail=optional(number("m", least=-40, most=40)),
        at=optional(TIME),
        tide=optional(number("m", least=-20, most=30)),
        draught_fwd=optional(number("m", above=0, most=40)),
        draught_aft=optional(number("m", above=0, most=40)),
        swl_kn=optional(force(above=0)),
        dolphin=optional(NAME),
        above_keel=optional(number("m", least=0, most=80)),
        floats=optional(SWITCH),
        on=optional(NAME),
    )


def _one_way_along(node: Node, _measured: Measured) -> None:
    """Refuse what says one thing twice, and what says it by halves."""
    for one, other in (("x", "from"), ("y", "set_back"), *_pairs(HEIGHTS)):
        if one in node and other in node:
            node[other].fault(f"{one} and {other} together", "one of them")
    if "x" not in node and "from" not in node:
        node.missing("x", "a number in m, or from and along")
    for one, other in (("from", "along"), ("along", "from")):
        if one in node and other not in node:
            node[one].fault(
                f"{one} without {other}", "both: the name of a bollard, and how far along from it"
            )
    for key, ways in (("y", ("set_back",)), ("z", HEIGHTS[1:])):
        if not any(way in node for way in (key, "from", *ways)):
            node.missing(key, f"a number in m, or {' or '.join(ways)}")


def _pairs(names: tuple[str, ...]) -> list[tuple[str, str]]:
    return [(one, other) for place, one in enumerate(names) for other in names[place + 1 :]]


def bollards_of(around: Around) -> Field[Mapping[str, Bollard]]:
    """Return the field of all bollards of a berth, each in the berth frame. What is not said of one that is
    measured from another is as of that."""
    table = named(measured_of(around.pace), least=1)

    def read(node: Node) -> Mapping[str, Bollard]:
        measured = table.read(node)
        if not measured:
            return measured  # type: ignore[return-value]  # an `Unread` table stays one
        places: dict[str, Point] = {}
        stands = all_stands(measured, around.floats)
        for name in measured:
            for each in reversed(_chain(name, measured, node, places)):
                one = measured[each]
                origin = places.get(one.from_bollard or "", NOWHERE)
                places[each] = _place(one, node[each], around, origin, stands[each])
            check_riding(name, measured, around.beside, stands, node[name])
        return {
            name: Bollard(places[name], each.swl_kn, each.dolphin, *stands[name])
            for name, each in measured.items()
        }

    return Field(table.expected, read)


NOWHERE: Final = Point(nan, nan, nan)


def _chain(
    name: str, measured: Mapping[str, Measured], node: Node, places: Mapping[str, Point]
) -> tuple[str, ...]:
    """Return a bollard and those that it is measured from, as far as their places are not known yet; what is
    measured from itself, or from none that is there, is put on the list."""
    chain: dict[str, None] = {}
    while name not in places:
        chain[name] = None
        origin, own = measured[name].from_bollard, node[name]["from"]
        if not origin:
            break
        if origin not in measured:
            own.fault(f"there is no bollard {shown(origin)}", one_of(measured, origin))
            break
        if origin in chain:
            own.fault("measured from itself, by way of others", "a bollard with an x of its own")
            break
        name = origin
    return tuple(chain)


def _place(one: Measured, own: Node, around: Around, origin: Point, stands: Stands) -> Point:
    """Return where a bollard is, `origin` being that which it is measured from."""
    x = origin.x + one.along if one.x is None else one.x
    height = _height(one, own, around, x, origin.z, stands[0])
    return Point(x, _across(one, own, around, origin.y), height)


def _across(one: Measured, own: Node, around: Around, otherwise: float) -> float:
    if one.y is not None:
        return one.y
    if one.set_back is None:
        return otherwise
    if around.edge_to_fenders is None:
        own["set_back"].fault(
            "how far the fenders stand out is not known", "berth.edge_to_fenders, m from edge to fender face"
        )
        return nan
    return behind_edge(one.set_back, around.edge_to_fenders)


def _height(one: Measured, own: Node, around: Around, x: float, otherwise: float, floats: bool) -> float:
    """Return the height over what the bollard stands on: chart datum, the water, or a keel."""
    if one.z is not None:
        return one.z
    if one.above_keel is not None:
        return one.above_keel
    if one.over_water is not None and floats:
        return one.over_water
    if one.over_water is not None:
        return over_water(one.over_water, _tide(one, own, "over_water", around))
    if one.below_rail is None:
        return otherwise
    rail, fwd, aft = around.ship.rail_z, one.draught_fwd, one.draught_aft
    if rail is None:
        own["below_rail"].fault("the height of the rail is not known", "ship.rail_z, m above the keel")
    if fwd is None or aft is None:
        own["below_rail"].fault("below_rail without draughts", "draught_fwd and draught_aft beside it")
    tide = _tide(one, own, "below_rail", around)
    if rail is None or fwd is None or aft is None:
        return nan
    station = station_abreast(x, around.place, around.alongside)
    station = min(max(station, 0.0), around.ship.lbp)
    return below_rail(one.below_rail, rail, draught_at(station, around.ship.marks, fwd, aft), tide)


def _tide(one: Measured, own: Node, key: str, around: Around) -> float:
    """Return the tide at which a height was measured: as stated, else by the table at its time."""
    if one.tide is not None:
        return one.tide
    if one.at is None:
        own[key].fault(f"{key} at which tide", "tide, m above chart datum, or at with a table of the tide")
        return nan
    level = nan if around.tide is None else level_by_table(around.tide, one.at)
    if isnan(level) and not isnan(one.at):
        own["at"].fault(
            "no table of high and low waters gives the tide then", "tide beside it, m above chart datum"
        )
    return level


def on_known_dolphins(dolphins: Mapping[str, float], bollards: Mapping[str, Bollard], node: Node) -> None:
    """Put on the list what stands on a dolphin that is not there, and dolphins named as bollards are."""
    for name, bollard in bollards.items():
        if bollard.dolphin and bollard.dolphin not in dolphins:
            node["bollards"][name]["dolphin"].fault(
                f"there is no dolphin {shown(bollard.dolphin)}", one_of(dolphins, bollard.dolphin)
            )
    for name in dolphins:
        if name in bollards:
            node["dolphins"][name].fault("a bollard has this name", "another name for the dolphin")
