"""The list that wind gives a ship whose metacentric height is known.

    M = FY x lever,  tan(phi) = M / (displacement x g x GM)

FY is the force of the wind across; the lever goes from the middle height of the side area that is out of the
water, half of area / Lbp above the waterline, down to half the draught. It is the steady part of the weather
criterion of the IMO's 2008 Intact Stability Code (from memory, checked against plane statics), which has a
drifting ship held by the water; lines and fenders hold one alongside at other heights, which is left out.
The list is that of small angles, good to some 10 deg. GM and displacement are those of the stay file: nothing
is known without either, and then no list by wind is taken into account.
"""

from dataclasses import replace

import numpy as np

from alongside.mechanics.exposure import Exposure
from alongside.mechanics.flow import attack_deg, dynamic_pressure
from alongside.mechanics.situation import Situation
from alongside.mechanics.wind import areas_at
from alongside.readings import Floats
from alongside.units import AIR


def wind_heel_deg(exposure: Exposure, situation: Situation, gust_factor: float = 1.0) -> Floats:
    """Return the list (n,) by the wind of n situations, deg, starboard down +; 0 where GM, areas or the wind
    are not known. `gust_factor` multiplies the speed."""
    ship, righting = exposure.ship, exposure.righting
    if righting is None or exposure.wind is None or ship.wind is None:
        return np.zeros(len(situation))
    draught = 0.5 * (situation.draught_fwd + situation.draught_aft)
    front, side = areas_at(ship.wind, ship, draught)
    attack = np.radians(attack_deg(situation.wind_from, exposure.heading))
    pressure = dynamic_pressure(AIR, situation.wind_speed * gust_factor)
    to_port = exposure.wind(attack, pressure, front, side)[1]
    lever = 0.5 * (side / ship.lbp + draught)
    heel = -np.degrees(np.arctan(to_port * lever / righting.per_radian(draught)))
    return np.where(np.isnan(heel), 0.0, heel)


def listed_by_wind(
    exposure: Exposure, blown: Situation, before: Situation, gust_factor: float = 1.0
) -> Situation:
    """Return the n situations `blown`, which are those `before` in another wind, with the list that this wind
    gives. A list that was measured has that of the wind of then in it."""
    if exposure.righting is None:
        return blown
    heel = before.heel_deg + wind_heel_deg(exposure, blown, gust_factor)
    if before.heel_measured:
        heel = heel - wind_heel_deg(exposure, before)
    return replace(blown, heel_deg=heel)
