"""Current on the hull: FX = q cx T Lbp, FY = q cy T Lbp, N = q cn T Lbp^2 with q = 0.5 rho V^2, T the mean
draught, ship frame, N about midships (`flow` has the signs).

Without a table of one's own (`rule`), UFC 4-159-03 "Design: Moorings" (3 Oct 2005), section 4-5:

    across (eq. 11-13):  cy = (C0 + (3.2 - C0) (T/d)^2) sin(g),  C0 = 0.22 sqrt(Lbp^2 Am / (B volume)),
                         d the depth of water, T/d not above 1
    along (eq. 15-22):   form drag       q B T 0.1 cos(g)
                         friction        q S Cf cos(g),  S = 1.7 T Lbp + volume / T,
                                         Cf = 0.075 / (log10(Rn) - 2)^2, Rn = V Lbp |cos(g)| / nu
                         fixed propeller q Ap cos(g),  Ap = (Lbp B / 240) / 0.838 (cargo ship)

    turning (eq. 24-25): N = FY Lbp (a + b h),  h the angle in deg off the stern, 0 to 180;
                         a = -0.291, b = 0.00353 for a full cargo hull

The form of the lever is the standard's; its two constants are from memory. They were held against the tanker
curves of OCIMF MEG2 (read), which they meet within 0.1 of Lbp between 10 and 170 deg off the bow. Where the
depth is not known the shallow value 3.2 stands, the most the form gives. The volume comes from the
hydrostatics of the stay file, else from a block coefficient of 0.80; the midship section fills 0.98 of B T
(both assumptions of ours).
"""

from functools import partial
from typing import Final

import numpy as np

from alongside.mechanics.coefficients.tanker import tanker_current
from alongside.mechanics.flow import Formula, HullForce, PeriodicTable, dynamic_pressure
from alongside.readings import Floats
from alongside.stay.model import CurrentCoefficients, Ship
from alongside.units import SEA_WATER

LEVER_ASTERN: Final = -0.291
LEVER_PER_DEG: Final = 0.00353
"""Lever of the force across, of Lbp ahead of midships, by the angle off the stern: UFC 4-159-03 eq. 24-25 for
a cargo hull, constants from memory."""
AGROUND: Final = 3.2
"""Cross-flow drag at T/d = 1 for currents up to 1.5 m/s (UFC 4-159-03 eq. 11)."""
FORM_DRAG: Final = 0.1
PROPELLER_DRAG: Final = 1.0
BLADE_SHARE: Final = 0.838
AREA_RATIO: Final = {"cargo": 240.0, "tanker": 270.0, "carrier": 125.0}
VISCOSITY: Final = 1.191e-6
"""Kinematic viscosity of sea water at 15 degC, m2/s."""
MIDSHIP_COEFFICIENT: Final = 0.98
BLOCK_COEFFICIENT: Final = 0.80
LEAST_REYNOLDS: Final = 1e5
"""Below it the friction line means nothing; there is next to no friction either."""

TANKER: Final = "meg2_tanker_loaded"


def deep_water_drag(length: Floats, breadth: Floats, midship_m2: Floats, volume_m3: Floats) -> Floats:
    """Return C0, the cross-flow drag in deep water (eq. 12 and 13)."""
    return 0.22 * np.sqrt(length**2 * midship_m2 / (breadth * volume_m3))


def cross_flow_drag(deep: Floats, draught_by_depth: Floats) -> Floats:
    """Return the drag coefficient abeam on draught x length (eq. 11 with K = 2); T/d above 1 counts as 1."""
    ratio = np.minimum(draught_by_depth, 1.0)
    return deep + (AGROUND - deep) * ratio * ratio


def friction_coefficient(
    speed: Floats, length: float, cosine: Floats, viscosity: float = VISCOSITY
) -> Floats:
    """Return Cf = 0.075 / (log10(Rn) - 2)^2 (eq. 19 and 20)."""
    reynolds = np.maximum(np.abs(speed * cosine) * length / viscosity, LEAST_REYNOLDS)
    drag: Floats = 0.075 / (np.log10(reynolds) - 2.0) ** 2
    return drag


def wetted_surface(draught: Floats, length: float, volume_m3: Floats) -> Floats:
    """Return S = 1.7 T L + volume / T, m2 (eq. 18)."""
    return 1.7 * draught * length + volume_m3 / draught


def propeller_area(length: float, breadth: float, kind: str = "cargo") -> float:
    """Return Ap = (L B / A_R) / 0.838, m2 (eq. 22 and 23)."""
    return length * breadth / AREA_RATIO[kind] / BLADE_SHARE


def drag_along(
    ship: Ship, attack: Floats, speed: Floats, draught: Floats, volume_m3: Floats
) -> tuple[Floats, Floats, Floats]:
    """Return form, friction and propeller drag as areas, m2: times q they are the forces along the ship, kN,
    + where the current comes from ahead (they then push astern)."""
    cosine = np.cos(attack)
    form = FORM_DRAG * ship.breadth * draught * cosine
    friction = (
        wetted_surface(draught, ship.lbp, volume_m3) * friction_coefficient(speed, ship.lbp, cosine) * cosine
    )
    return form, friction, PROPELLER_DRAG * propeller_area(ship.lbp, ship.breadth) * cosine


def turning_lever(attack: Floats) -> Floats:
    """Return how far ahead of midships a current pushes, of Lbp, by the angle of attack, rad: ahead where it
    comes from ahead of the beam, the same from either side."""
    off_stern = 180.0 - np.degrees(np.arccos(np.cos(attack)))
    lever: Floats = LEVER_ASTERN + LEVER_PER_DEG * off_stern
    return lever


def displaced_volume(ship: Ship, draught: Floats) -> Floats:
    """Return the displaced volume, m3, at a mean draught (n,): by the hydrostatics of the stay file, held at
    their ends, else by the block coefficient."""
    if not ship.hydrostatics:
        return BLOCK_COEFFICIENT * ship.lbp * ship.breadth * draught
    rows = ship.hydrostatics
    tonnes = np.interp(draught, [row.draught for row in rows], [row.displacement for row in rows])
    volume: Floats = tonnes * 1000.0 / SEA_WATER
    return volume


def current_formula(ship: Ship, current: CurrentCoefficients) -> Formula:
    """Return formula(attack rad, speed m/s, draught m, depth m) -> FX, FY kN, N kN m about midships; a depth
    of NaN is not known."""
    given = current.coefficients
    if not isinstance(given, str):
        return partial(_by_table, PeriodicTable(given), ship.lbp)
    if given == "rule":
        return partial(_by_form, ship)
    if given == TANKER:
        return partial(_tanker, tanker_current(), ship)
    raise ValueError(f"no current coefficients named {given!r}")


def _by_table(
    table: PeriodicTable, lbp: float, attack: Floats, speed: Floats, draught: Floats, depth: Floats
) -> HullForce:
    cx, cy, cn = table(attack)
    push = dynamic_pressure(SEA_WATER, speed) * draught * lbp
    return push * cx, push * cy, push * cn * lbp


def _by_form(ship: Ship, attack: Floats, speed: Floats, draught: Floats, depth: Floats) -> HullForce:
    volume = displaced_volume(ship, draught)
    midship = MIDSHIP_COEFFICIENT * ship.breadth * draught
    deep = deep_water_drag(np.asarray(ship.lbp), np.asarray(ship.breadth), midship, volume)
    ratio = np.where(depth > 0.0, draught / np.where(depth > 0.0, depth, 1.0), 1.0)
    pressure = dynamic_pressure(SEA_WATER, speed)
    across = pressure * draught * ship.lbp * cross_flow_drag(deep, ratio) * np.sin(attack)
    along = -pressure * sum(drag_along(ship, attack, speed, draught, volume))
    return along, across, across * ship.lbp * turning_lever(attack)


def _tanker(
    table: PeriodicTable, ship: Ship, attack: Floats, speed: Floats, draught: Floats, depth: Floats
) -> HullForce:
    _, across, moment = _by_table(table, ship.lbp, attack, speed, draught, depth)
    along = drag_along(ship, attack, speed, draught, displaced_volume(ship, draught))
    return -dynamic_pressure(SEA_WATER, speed) * sum(along), across, moment
