"""The forces that balance, as functions of surge, sway and yaw, with their derivatives.

A line of path p and tension T pulls with T w, w = -dp/d(surge, sway, yaw) = (ux, uy, rx uy - ry ux): u is the
unit vector from fairlead to bollard, r the level arm from P0 to the fairlead. A fender of reaction R pushes
with R v, v the gradient of y_side (`fenders`). So what the ship has stored in lines and fenders is a
potential, and its second derivative

    lines    (k - T/a) w w' + T/a G + T (u . r) on yaw,  G = [[1, 0, -ry], [0, 1, rx], [-ry, rx, |r|^2]],
             k the line's stiffness, a its outboard length
    fenders  k v v' - R (second derivative of y_side)

is symmetric. Yaw enters as an arc: yaw times `radius`, so that all three are metres and all forces kN.
Arrays are (lines or fenders, n); of the pose (3, n); of the second derivative (6, n): xx, xy, xt, yy, yt, tt.
"""

from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.bights import Partners, shared
from alongside.mechanics.fenders import FenderRow, push, side_distance, side_gradient
from alongside.mechanics.flow import Loads
from alongside.mechanics.tension import Tensions
from alongside.readings import Floats


@dataclass(frozen=True, slots=True, eq=False)
class Mooring:
    """n instants whose balance is sought. `ahead` and `to_port` (lines, n): level arms of the fairleads from
    P0 along berth x and y at yaw 0; `rise` (lines, n): bollard above fairlead; `bollard_x`, `bollard_y`
    (lines, 1): from P0 in place."""

    ahead: Floats
    to_port: Floats
    rise_squared: Floats
    bollard_x: Floats
    bollard_y: Floats
    inboard: Floats
    tensions: Tensions
    fenders: FenderRow
    breadth: float
    berth_x: float
    loads: Loads
    radius: float
    held_along: bool = False
    """She is kept from moving along the berth, whatever pulls."""
    partners: Partners | None = None
    """Which lines are parts of one rope."""
    arm_squared: Floats = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "arm_squared", self.ahead * self.ahead + self.to_port * self.to_port)

    def __len__(self) -> int:
        return int(self.ahead.shape[1])

    def rows(self, rows: NDArray[np.intp]) -> "Mooring":
        return Mooring(
            self.ahead[:, rows],
            self.to_port[:, rows],
            self.rise_squared[:, rows],
            self.bollard_x,
            self.bollard_y,
            self.inboard,
            self.tensions.rows(rows),
            self.fenders,
            self.breadth,
            self.berth_x,
            self.loads.rows(rows),
            self.radius,
            self.held_along,
            self.partners,
        )


@dataclass(frozen=True, slots=True, eq=False)
class Forces:
    """At n poses: net force (3, n) kN (the moment divided by the radius), second derivative (6, n) kN/m of
    what lines and fenders have stored, how wind and current change with the yaw (3, n) kN/m, and the largest
    single load (n,) kN."""

    net: Floats
    stiffness: Floats
    turning: Floats
    largest: Floats


TURN: Final = 1e-5
"""rad by which the change of wind and current with the yaw is found."""


SHORTEST_LEAD: Final = 1e-6
"""m; a fairlead that stands on its bollard is pulled in no direction."""


def forces_at(mooring: Mooring, pose: Floats, turning: Floats | None = None) -> Forces:
    """Return the forces at poses (3, n): surge, sway m and yaw as an arc, m. `turning`, if it is known well
    enough from a pose near by, is not calculated anew."""
    yaw = pose[2] / mooring.radius
    net = mooring.loads.at(yaw)
    if turning is None:
        turning = (mooring.loads.at(yaw + TURN) - net) / (TURN * mooring.radius)
        turning[2] /= mooring.radius
    largest = np.abs(net[:2]).max(axis=0)
    stiffness = np.zeros((6, pose.shape[1]))
    _add_lines(mooring, pose, yaw, net, stiffness, largest)
    _add_fenders(mooring, pose, yaw, net, stiffness, largest)
    net[2] /= mooring.radius
    stiffness[2] /= mooring.radius
    stiffness[4] /= mooring.radius
    stiffness[5] /= mooring.radius**2
    return Forces(net, stiffness, turning, largest)


def _add_lines(
    m: Mooring, pose: Floats, yaw: Floats, net: Floats, stiffness: Floats, largest: Floats
) -> None:
    if not m.ahead.shape[0]:
        return
    cos, sin = np.cos(yaw), np.sin(yaw)
    rx = m.ahead * cos - m.to_port * sin
    ry = m.ahead * sin + m.to_port * cos
    ux = m.bollard_x - pose[0] - rx
    uy = m.bollard_y - pose[1] - ry
    outboard = np.maximum(np.sqrt(ux * ux + uy * uy + m.rise_squared), SHORTEST_LEAD)
    tension, along = m.tensions(outboard + m.inboard)
    np.maximum(largest, tension.max(axis=0), out=largest)
    ux /= outboard
    uy /= outboard
    turning = rx * uy - ry * ux
    across = tension / outboard
    if m.partners is not None:
        _add_as_one_rope(m.partners, along, (ux, uy, turning), stiffness)
        along = np.zeros_like(along)
    along -= across
    by_x, by_y = along * ux, along * uy
    net[0] += _sum(tension, ux)
    net[1] += _sum(tension, uy)
    net[2] += _sum(tension, turning)
    everywhere = across.sum(axis=0)
    stiffness[0] += _sum(by_x, ux) + everywhere
    stiffness[1] += _sum(by_x, uy)
    stiffness[2] += _sum(by_x, turning) - _sum(across, ry)
    stiffness[3] += _sum(by_y, uy) + everywhere
    stiffness[4] += _sum(by_y, turning) + _sum(across, rx)
    along *= turning
    ux *= rx
    ux += uy * ry
    stiffness[5] += _sum(along, turning) + _sum(across, m.arm_squared) + _sum(tension, ux)


def _add_as_one_rope(
    partners: Partners, stiffness_kn_m: Floats, w: tuple[Floats, Floats, Floats], stiffness: Floats
) -> None:
    """Add k w w' of lines of which some are parts of one rope: both then with the mean of their w, since its
    tension follows from the mean of their paths."""
    x, y, turned = (shared(partners, each) for each in w)
    for row, (one, other) in enumerate(((x, x), (x, y), (x, turned), (y, y), (y, turned), (turned, turned))):
        stiffness[row] += _sum(stiffness_kn_m * one, other)


def _add_fenders(
    m: Mooring, pose: Floats, yaw: Floats, net: Floats, stiffness: Floats, largest: Floats
) -> None:
    if not len(m.fenders):
        return
    x0, y0 = m.berth_x + pose[0], m.breadth / 2.0 + pose[1]
    side = side_distance(m.fenders, m.breadth, x0, y0, yaw)
    if not (side < 0.0).any():
        return
    pushed = push(m.fenders, side)
    by_surge, by_yaw = side_gradient(m.fenders, m.breadth, x0, yaw)
    reaction, k = pushed.reaction, pushed.stiffness
    np.maximum(largest, reaction.max(axis=0), out=largest)
    total, k_total, k_yaw = reaction.sum(axis=0), k.sum(axis=0), _sum(k, by_yaw)
    turned = _sum(reaction, by_yaw)
    net[0] += total * by_surge
    net[1] += total
    net[2] += turned
    secant = 1.0 + by_surge * by_surge
    stiffness[0] += k_total * by_surge * by_surge
    stiffness[1] += k_total * by_surge
    stiffness[2] += k_yaw * by_surge + total * secant
    stiffness[3] += k_total
    stiffness[4] += k_yaw
    bent = -2.0 * by_surge * turned - 0.5 * m.breadth / np.cos(yaw) * total
    stiffness[5] += _sum(k * by_yaw, by_yaw) - bent


def _sum(one: Floats, other: Floats) -> Floats:
    """Return the sum (n,) of products over lines or fenders."""
    total: Floats = np.einsum("ln,ln->n", one, other)
    return total
