"""What rights a listed ship: displacement x g x GM."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.readings import Floats
from alongside.stay.model import Ship

G: Final = 9.80665
"""m/s2."""


@dataclass(frozen=True, slots=True, eq=False)
class Righting:
    """What rights a listed ship: GM, m, and displacement, t (k,), by mean draught, m (k,) rising."""

    gm: float
    draught: Floats
    displacement: Floats

    def per_radian(self, mean_draught: Floats) -> Floats:
        """Return displacement x g x GM, kN m; outside the table that of its nearest end."""
        tonnes = np.interp(mean_draught, self.draught, self.displacement)
        return tonnes * G * self.gm


def righting_of(ship: Ship) -> Righting | None:
    """Return what rights a ship; None where her GM, or her displacement, is not known."""
    if ship.gm is None or not ship.hydrostatics:
        return None
    rows = ship.hydrostatics
    draught, displacement = np.array([(row.draught, row.displacement) for row in rows]).T
    return Righting(ship.gm, draught, displacement)
