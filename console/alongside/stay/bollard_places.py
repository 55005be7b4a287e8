"""Where a bollard is, from what a tape, paces and the eye give on the quay. Pure; metres, berth frame."""

from math import nan

from alongside.stay.model import Marks, Place

PACED_SPREAD = 0.05
"""Part by which a distance in paces may be longer or shorter; common practice, no source."""


def behind_edge(set_back: float, edge_to_fenders: float) -> float:
    """Return y of a bollard `set_back` behind the edge of a quay whose fenders reach `edge_to_fenders` out
    from it."""
    return -(edge_to_fenders + set_back)


def over_water(height: float, tide: float) -> float:
    """Return z above chart datum of what stands `height` over the water at a tide."""
    return tide + height


def below_rail(below: float, rail_z: float, draught: float, tide: float) -> float:
    """Return z above chart datum of what lies `below` the ship's rail, negative above it; `rail_z` is that of
    the rail above the keel."""
    return tide + rail_z - draught - below


def station_abreast(x: float, place: Place, alongside: str) -> float:
    """Return the ship station abreast of berth station x, in place."""
    way = 1.0 if alongside == "starboard" else -1.0
    return place.ship_x + way * (x - place.berth_x)


def draught_at(ship_x: float, marks: Marks, fwd: float, aft: float) -> float:
    """Return the draught at a ship station, straight through those at the marks; NaN where these are in one
    place."""
    if marks.fwd == marks.aft:
        return nan
    return aft + (fwd - aft) * (ship_x - marks.aft) / (marks.fwd - marks.aft)
