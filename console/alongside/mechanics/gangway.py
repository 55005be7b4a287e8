"""How high the rail at the gangway stands over the quay, and how steep the gangway is then."""

from collections.abc import Mapping
from math import atan, degrees
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.stay.model import Gangway, GangwayKind, Stay

STEEPEST_DEG: Final[Mapping[GangwayKind, float]] = {
    "gangway": 30.0,
    "ladder": 55.0,
    "ramp": degrees(atan(0.1)),
}
"""A gangway not above 30 deg, an accommodation ladder not above 55, unless marked for more; a ramp for
vehicles not steeper than 1 in 10 (ILO, ports): read in digests."""


def rail_over_quay(stay: Stay, situation: Situation) -> Floats:
    """Return the height (n,) of the rail at the gangway over the quay, m; NaN without a gangway in the stay
    file, and where tide, a draught or the heel is not known. On a pontoon the quay rides with the water."""
    gangway, marks = stay.outlook.gangway, stay.ship.marks
    if gangway is None:
        return np.full(len(situation), np.nan)
    slope = (situation.draught_fwd - situation.draught_aft) / (marks.fwd - marks.aft)
    draught = situation.draught_aft + (gangway.ship_x - marks.aft) * slope
    quay_side = 1.0 if stay.alongside == "starboard" else -1.0
    sunk = quay_side * 0.5 * stay.ship.breadth * np.tan(np.radians(situation.heel_deg))
    tide = 0.0 * situation.tide if stay.berth.floats else situation.tide
    return height_over_quay(tide, gangway.rail_z, draught + sunk, gangway.quay_z)


def slope_deg(gangway: Gangway, rail: Floats) -> Floats:
    """Return the slope (n,) of a gangway whose rail stands `rail` (n,) m over the quay, deg, up or down
    alike: sin = height / length, 90 where it does not reach; NaN without a length."""
    if gangway.length is None:
        return np.full(np.shape(rail), np.nan)
    slope: Floats = np.degrees(np.arcsin(np.minimum(np.abs(rail) / gangway.length, 1.0)))
    return slope


def steepest_deg(gangway: Gangway) -> float:
    """Return the steepest slope at which it may be used, deg."""
    return STEEPEST_DEG[gangway.kind] if gangway.steepest_deg is None else gangway.steepest_deg


def height_over_quay(
    tide: ArrayLike, above_keel: ArrayLike, draught_there: ArrayLike, above_chart_datum: ArrayLike
) -> Floats:
    """Return how far a point of the ship stands above one on the quay, m; shapes broadcast. `draught_there`:
    keel to water at the point."""
    over: Floats = (
        np.asarray(tide, dtype=np.float64)
        + np.asarray(above_keel)
        - np.asarray(draught_there)
        - np.asarray(above_chart_datum)
    )
    return over
