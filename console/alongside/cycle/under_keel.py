"""The water under her keel as it is shown: computed, and as it was sounded lately."""

from math import isfinite

from alongside.cycle.picture import OtherFigures, Picture
from alongside.cycle.plausibility.by_hand import UNDER_KEEL, HandReading, last_reading, serves_s
from alongside.mechanics.keel import under_keel_m
from alongside.stay.model import Ship


def clearance(ship: Ship, depth: float, afloat: Picture | OtherFigures) -> float:
    """Return the water under the keel, m; without a gauge of heel, of the ship upright."""
    heel = afloat.heel_deg if isfinite(afloat.heel_deg) else 0.0
    return float(under_keel_m(ship, depth, afloat.tide, afloat.draught_fwd, afloat.draught_aft, heel))


def sounded_lately(picture: Picture) -> HandReading | None:
    """Return what was sounded under her keel last, while it serves; None for nothing."""
    last = last_reading(picture.by_hand, UNDER_KEEL)
    if last is None or picture.time - last.at > serves_s(UNDER_KEEL, has_table=True):
        return None
    return last
