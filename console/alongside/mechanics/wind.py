"""Wind on the hull: FX = q cx AF, FY = q cy AL, N = q cn AL Lbp with q = 0.5 rho V^2, ship frame, N about
midships (`flow` has the signs). Areas are stated at a reference draught; for each metre the ship comes up the
side area gains Lbp, the front area B.

`coefficients` of a stay is a published set, a table of one's own, or `rule`: the seamen's V^2/18 tonnes on
1000 m2 beam on (V in m/s; from memory, no source), which is a coefficient of 0.892. The rule knows no ship
type: 0.892 sin(g) on the side area at its centroid, -0.892 cos(g) on the front area.
"""

from collections.abc import Callable
from functools import partial
from typing import Final

import numpy as np

from alongside.mechanics.coefficients.blendermann import SHIP_TYPES, blendermann
from alongside.mechanics.coefficients.isherwood import Profile, isherwood
from alongside.mechanics.coefficients.tanker import tanker_wind
from alongside.mechanics.flow import Formula, HullForce, PeriodicTable
from alongside.readings import Floats
from alongside.stay.model import Ship, WindAreas

RULE: Final = 0.892
TANKERS: Final = {"meg2_tanker_loaded": "loaded", "meg2_tanker_ballast": "ballast"}
ISHERWOOD: Final = "isherwood"

Coefficients = Callable[[Floats, Floats, Floats], tuple[Floats, Floats, Floats]]
"""(attack rad, front m2, side m2) -> cx, cy, cn with cn on side area x Lbp."""


def areas_at(areas: WindAreas, ship: Ship, mean_draught: Floats) -> tuple[Floats, Floats]:
    """Return front and side area, m2, at a mean draught (n,); never below 0."""
    emerged = areas.at_draught - mean_draught
    front = np.maximum(areas.front_m2 + ship.breadth * emerged, 0.0)
    return front, np.maximum(areas.side_m2 + ship.lbp * emerged, 0.0)


def wind_formula(ship: Ship, areas: WindAreas) -> Formula:
    """Return formula(attack rad, q kN/m2, front m2, side m2) -> FX, FY kN, N kN m about midships."""
    return partial(_force, wind_coefficients(ship, areas), ship.lbp)


def _force(
    coefficients: Coefficients, lbp: float, attack: Floats, pressure: Floats, front: Floats, side: Floats
) -> HullForce:
    cx, cy, cn = coefficients(attack, front, side)
    return pressure * cx * front, pressure * cy * side, pressure * cn * side * lbp


def wind_coefficients(ship: Ship, areas: WindAreas) -> Coefficients:
    """Return the coefficients that the stay names or gives. Raise ValueError for a set that is not known, or
    that needs more of the ship than is given."""
    given = areas.coefficients
    forward = 0.0 if areas.side_centroid_x is None else areas.side_centroid_x - ship.lbp / 2.0
    if not isinstance(given, str):
        return _from_table(PeriodicTable(given))
    if given == "rule":
        return partial(_rule, forward / ship.lbp)
    if given in SHIP_TYPES:
        return partial(_by_length_over_all, ship, partial(_blendermann, given, forward, ship.loa))
    if given in TANKERS:
        return _from_table(tanker_wind(TANKERS[given]))
    if given == ISHERWOOD:
        return partial(_by_length_over_all, ship, partial(isherwood, _profile(ship, areas, forward)))
    raise ValueError(f"no wind coefficients named {given!r}")


def _rule(arm: float, attack: Floats, front: Floats, side: Floats) -> tuple[Floats, Floats, Floats]:
    cy = RULE * np.sin(attack)
    return -RULE * np.cos(attack), cy, arm * cy


def _from_table(table: PeriodicTable) -> Coefficients:
    return lambda attack, front, side: table(attack)


def _blendermann(
    kind: str, forward: float, loa: float, attack: Floats, front: Floats, side: Floats
) -> tuple[Floats, Floats, Floats]:
    return blendermann(SHIP_TYPES[kind], attack, front, side, forward, loa)


def _by_length_over_all(
    ship: Ship, coefficients: Coefficients, attack: Floats, front: Floats, side: Floats
) -> tuple[Floats, Floats, Floats]:
    """Return a set whose moment is by Loa, rescaled to Lbp. Without side area there is nothing to push on."""
    exposed = side > 0.0
    cx, cy, cn = coefficients(attack, front, np.where(exposed, side, 1.0))
    return cx, np.where(exposed, cy, 0.0), np.where(exposed, cn * (ship.loa / ship.lbp), 0.0)


def _profile(ship: Ship, areas: WindAreas, centroid_forward: float) -> Profile:
    if areas.perimeter_m is None:
        raise ValueError("Isherwood's regression needs the perimeter of the side (perimeter_m)")
    return Profile(
        loa=ship.loa,
        breadth=ship.breadth,
        perimeter_m=areas.perimeter_m,
        superstructure_m2=areas.superstructure_m2 or 0.0,
        centroid_from_bow=ship.loa / 2.0 - centroid_forward,
        mast_groups=areas.mast_groups,
    )
