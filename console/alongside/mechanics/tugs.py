"""A tug on the ship: a steady force square to her side, at one station, which turns with her.

A tug that pushes on drives her towards the quay, one that pulls off (or pushes on the other side) away from
it. What the tug herself leans on, her angle to the side and her wash are left out.
"""

from dataclasses import dataclass

import numpy as np

from alongside.mechanics.flow import Flow, HullForce
from alongside.readings import Floats


@dataclass(frozen=True, slots=True)
class Tug:
    """`on_kn` kN towards the quay, negative away from it; `ship_x` m forward of the aft perpendicular."""

    on_kn: float
    ship_x: float

    def force(self, n: int, lbp: float, head: float) -> Flow:
        """Return its force on a ship of `lbp` m at n instants; `head` as of `Loads`."""
        to_port = np.full(n, -head * self.on_kn)
        return Flow(np.zeros(n), _steady, (to_port, to_port * (self.ship_x - lbp / 2.0)))


def _steady(_attack: Floats, to_port: Floats, moment: Floats) -> HullForce:
    """Return the same force in the ship frame whichever way she turns."""
    return np.zeros_like(to_port), to_port, moment
