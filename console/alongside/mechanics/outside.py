"""Wind and current on a ship that is made fast to her other side, all of which comes on her lines.

The force is that of a ship by itself at its own draught, on the same heading; no shelter is counted. About
the midships of ours its moment grows by its arms, a ahead and b to port: N + a FY - b FX.
"""

from dataclasses import dataclass
from functools import partial

import numpy as np

from alongside.mechanics.current import current_formula
from alongside.mechanics.far_ends import Neighbour, draught_of
from alongside.mechanics.flow import Flow, Formula, HullForce, dynamic_pressure
from alongside.mechanics.wind import areas_at, wind_formula
from alongside.readings import Floats
from alongside.stay.model import Beside, Marks, Ship, Stay
from alongside.units import AIR


@dataclass(frozen=True, slots=True, eq=False)
class Outside:
    """A ship outside as wind and current meet her; a formula that is None is left out."""

    ship: Ship
    draught: Neighbour
    wind: Formula | None
    current: Formula | None

    def wind_on(self, attack: Floats, speed: Floats, time: Floats) -> list[Flow]:
        """Return the wind on her at n instants; `attack` rad off her bow."""
        if self.wind is None or self.ship.wind is None:
            return []
        front, side = areas_at(self.ship.wind, self.ship, self.draught.draught_at(time))
        return [Flow(attack, self.wind, (dynamic_pressure(AIR, speed), front, side))]

    def current_on(self, attack: Floats, speed: Floats, depth: Floats, time: Floats) -> list[Flow]:
        """Return the current on her; `depth` of the water, m."""
        if self.current is None:
            return []
        return [Flow(attack, self.current, (speed, self.draught.draught_at(time), depth))]


def outside_of(stay: Stay) -> tuple[Outside, ...]:
    """Return the ships outside of hers."""
    return tuple(_outside(stay, each) for each in stay.beside.values() if each.lies == "outside")


def _outside(stay: Stay, given: Beside) -> Outside:
    length, breadth, ship_x = given.length or 0.0, given.breadth or 0.0, given.ship_x or 0.0
    hull = Ship(
        "",
        length,
        length,
        breadth,
        breadth,
        Marks(length, 0.0),
        {},
        {},
        wind=given.wind,
        current=given.current,
    )
    to_port = 1.0 if stay.alongside == "starboard" else -1.0
    arms = ship_x - stay.ship.lbp / 2.0, to_port * (stay.ship.breadth + breadth) / 2.0
    wind = current = None
    if given.wind is not None:
        wind = partial(_about_midships, wind_formula(hull, given.wind), arms)
    if given.current is not None:
        current = partial(_about_midships, current_formula(hull, given.current), arms)
    return Outside(hull, draught_of(given, np.zeros(0)), wind, current)


def _about_midships(
    formula: Formula, arms: tuple[float, float], attack: Floats, *arrays: Floats
) -> HullForce:
    """Return her force about the midships of ours."""
    ahead, to_port, moment = formula(attack, *arrays)
    return ahead, to_port, moment + arms[0] * to_port - arms[1] * ahead
