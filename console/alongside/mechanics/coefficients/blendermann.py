"""Wind on ships by type: W. Blendermann, "Parameter identification of wind loads on ships", Journal of Wind
Engineering and Industrial Aerodynamics 51 (1994) 339-351.

    D  = 1 - (delta/2) (1 - CDl/CDt) sin^2(2 g),   CDl = CDlAF AF / AL
    CX = -CDlAF cos(g) / D      CY = CDt sin(g) / D      CN = (sL/Loa - 0.18 (g - pi/2)) CY

for g from 0 to pi, CDlAF the bow value up to pi/2 and the stern value beyond; sL is how far the centroid of
the side area lies forward of midships. The table is as an open teaching library gives it (MIT licence,
T. I. Fossen), not compared with the paper itself.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.readings import Floats


@dataclass(frozen=True, slots=True)
class ShipType:
    """Transverse drag CDt, longitudinal drag on the front area from ahead and astern, cross-force delta."""

    transverse: float
    from_ahead: float
    from_astern: float
    cross: float


SHIP_TYPES: Final[dict[str, ShipType]] = {
    "car_carrier": ShipType(0.95, 0.55, 0.60, 0.80),
    "cargo_loaded": ShipType(0.85, 0.65, 0.55, 0.40),
    "cargo_containers": ShipType(0.85, 0.55, 0.50, 0.40),
    "container_ship": ShipType(0.90, 0.55, 0.55, 0.40),
    "ferry": ShipType(0.90, 0.45, 0.50, 0.80),
    "lng": ShipType(0.70, 0.60, 0.65, 0.50),
    "offshore_supply": ShipType(0.90, 0.55, 0.80, 0.55),
    "passenger": ShipType(0.90, 0.40, 0.40, 0.80),
    "research": ShipType(0.85, 0.55, 0.65, 0.60),
    "tanker_loaded": ShipType(0.70, 0.90, 0.55, 0.40),
    "tanker_ballast": ShipType(0.70, 0.75, 0.55, 0.40),
}


def blendermann(
    ship: ShipType, attack: Floats, front_m2: Floats, side_m2: Floats, centroid_forward: float, loa: float
) -> tuple[Floats, Floats, Floats]:
    """Return CX on the front area, CY on the side area, CN on side area x Loa about midships; attack in
    rad."""
    turn = np.mod(attack, 2.0 * np.pi)
    from_port = turn > np.pi
    g = np.where(from_port, 2.0 * np.pi - turn, turn)
    front_drag = np.where(g <= np.pi / 2.0, ship.from_ahead, ship.from_astern)
    along = front_drag * front_m2 / side_m2
    divisor = 1.0 - 0.5 * ship.cross * (1.0 - along / ship.transverse) * np.sin(2.0 * g) ** 2
    cx = -front_drag * np.cos(g) / divisor
    cy = ship.transverse * np.sin(g) / divisor
    cn = (centroid_forward / loa - 0.18 * (g - np.pi / 2.0)) * cy
    leeward = np.where(from_port, -1.0, 1.0)
    return cx, leeward * cy, leeward * cn
