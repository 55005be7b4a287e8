"""What leans on the hull in a situation: wind and current, made ready once for a stay, then for n
instants; and whatever else the situation bears as a force."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.mechanics.current import current_formula
from alongside.mechanics.flow import Flow, Formula, HullForce, Loads, attack_deg, dynamic_pressure
from alongside.mechanics.outside import Outside, outside_of
from alongside.mechanics.righting import Righting, righting_of
from alongside.mechanics.situation import Situation
from alongside.mechanics.tugs import Tug
from alongside.mechanics.wind import areas_at, wind_formula
from alongside.readings import Codes, Floats
from alongside.stay.heading import ship_heading
from alongside.stay.model import Ship, Stay
from alongside.units import AIR

NO_WIND: Final = 1
NO_CURRENT: Final = 2
"""Bits of what is left out at an instant."""


@dataclass(frozen=True, slots=True, eq=False)
class Exposure:
    """How a ship at her berth meets wind and current. A formula that is None is left out, because
    the stay file does not say how."""

    ship: Ship
    heading: float
    """True heading in place, deg."""
    head: float
    """+1 with the bow towards berth +x, else -1."""
    arm: float
    """How far midships lies ahead of P0, m."""
    charted_depth: float
    """m below chart datum, NaN where not known."""
    wind: Formula | None
    current: Formula | None
    tugs: tuple[Tug, ...] = ()
    righting: Righting | None = None
    """What rights her against the wind; None where her GM is not known."""
    outside: tuple[Outside, ...] = ()
    """Ships that are made fast to her other side."""


def exposure_of(stay: Stay) -> Exposure:
    """Return how the ship of a stay that has been checked meets wind and current."""
    ship, depth = stay.ship, stay.berth.charted_depth
    return Exposure(
        ship=ship,
        heading=ship_heading(stay),
        head=1.0 if stay.alongside == "starboard" else -1.0,
        arm=ship.lbp / 2.0 - stay.place.ship_x,
        charted_depth=np.nan if depth is None else depth,
        wind=wind_formula(ship, ship.wind) if ship.wind else None,
        current=current_formula(ship, ship.current) if ship.current else None,
        tugs=tuple(Tug(tug.on_kn, tug.ship_x) for tug in stay.tugs),
        righting=righting_of(ship),
        outside=outside_of(stay),
    )


def loads_of(exposure: Exposure, situation: Situation, gust_factor: float = 1.0) -> tuple[Loads, Codes]:
    """Return wind, current, tugs and any other force at n instants, and (n,) bits of what is left out.

    Wind whose speed or direction is not known is left out (`NO_WIND`), and so is wind on a ship whose areas
    the stay file does not give; the same for current. No speed is known wind, whatever its direction.
    `gust_factor` multiplies the wind speed.
    """
    n = len(situation)
    without = np.zeros(n, dtype=np.int8)
    flows: list[Flow] = []
    draught = 0.5 * (situation.draught_fwd + situation.draught_aft)
    speed, come_from, unknown = _stream(
        situation.wind_speed * gust_factor, situation.wind_from, exposure.wind
    )
    without |= np.where(unknown, NO_WIND, 0).astype(np.int8)
    if exposure.wind is not None and exposure.ship.wind is not None and speed.any():
        front, side = areas_at(exposure.ship.wind, exposure.ship, draught)
        attack = np.radians(attack_deg(come_from, exposure.heading))
        flows.append(Flow(attack, exposure.wind, (dynamic_pressure(AIR, speed), front, side)))
    for each in exposure.outside:
        attack = np.radians(attack_deg(come_from, exposure.heading))
        flows += each.wind_on(attack, speed, situation.time)
    come_from = situation.current_to + 180.0
    speed, come_from, unknown = _stream(situation.current_speed, come_from, exposure.current)
    without |= np.where(unknown, NO_CURRENT, 0).astype(np.int8)
    if exposure.current is not None and speed.any():
        attack = np.radians(attack_deg(come_from, exposure.heading))
        flows.append(
            Flow(attack, exposure.current, (speed, draught, exposure.charted_depth + situation.tide))
        )
    for each in exposure.outside:
        attack = np.radians(attack_deg(come_from, exposure.heading))
        depth = exposure.charted_depth + situation.tide
        flows += each.current_on(attack, speed, depth, situation.time)
    flows += [tug.force(n, exposure.ship.lbp, exposure.head) for tug in exposure.tugs]
    if situation.other_force is not None:
        flows.append(Flow(np.zeros(n), _as_given, tuple(situation.other_force.T)))
    return Loads(tuple(flows), np.zeros((3, n)), exposure.arm, exposure.head), without


def _as_given(_attack: Floats, ahead: Floats, to_port: Floats, turning: Floats) -> HullForce:
    """Return a force that turns with her, whatever the angle."""
    return ahead, to_port, turning


def _stream(speed: Floats, come_from: Floats, formula: Formula | None) -> tuple[Floats, Floats, Floats]:
    """Return speed and direction with what is not known made calm, and where that was so."""
    known = (~np.isnan(speed) & ~np.isnan(come_from)) | (speed == 0.0)
    unknown = ~known if formula is not None else np.ones_like(known)
    return np.where(known, speed, 0.0), np.where(np.isnan(come_from), 0.0, come_from), unknown
