"""How she ranges: surge, sway and yaw with her mass, in waves of some minutes and while a ship passes.

    (m + a) x'' + c x' = lines + fenders + wind + current + tugs + what else pushes,   x = (surge, sway, yaw)

Lines and fenders are those of the balance, with the curve of every rope: she answers through the set's own
stiffness, softer off the fenders than on them, and near one of her natural periods she ranges. Steps in time
are velocity Verlet's, a twentieth of her shortest natural period or less.

What comes out are not poses but the force (d'Alembert) with which the balance gives these poses: so lines,
fenders, brakes and load cells follow from it in the same way as from a wind.

Mass: what she displaces. Added mass: ahead 8 % (practice, 5 to 10 %); across PIANC 2002, Cm - 1 by the water
under her keel Kc over draught D: Cm 1.8 to Kc/D 0.1, 1.875 - 0.75 Kc/D, 1.5 from 0.5 on (a lower value:
others take up to 2.0 of added mass); turning the same share of a radius of gyration of a quarter of Lbp
(practice). Damping a tenth of critical in each motion (practice, no source). A wave that she makes herself
is left out.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, isfinite
from typing import Final

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.balance_forces import Mooring, forces_at
from alongside.mechanics.current import displaced_volume
from alongside.mechanics.exposure import Exposure, loads_of
from alongside.mechanics.mooring import mooring_of, settled
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import tensions_of
from alongside.readings import Floats
from alongside.stay.model import Ship
from alongside.units import SEA_WATER

ADDED_AHEAD: Final = 0.08
CLEARANCES: Final = (0.1, 0.5)
ACROSS: Final = (1.8, 1.5)
"""Cm of PIANC 2002 at these clearances by draught, straight between."""
GYRATION: Final = 0.25
"""Radius of gyration in yaw, of Lbp."""
DAMPING: Final = 0.10
"""Of critical, in each motion."""
STEPS_A_PERIOD: Final = 20
FARTHEST_M: Final = 30.0
"""Beyond it she is adrift: the motion is given up."""
NO_TURNING: Final = np.zeros((3, 1))


@dataclass(frozen=True, slots=True)
class Inertia:
    """Mass with added mass: t ahead, t across, t m2 about midships; `still` is her mass alone, t."""

    ahead: float
    across: float
    turning: float
    still: float

    def matrix(self, exposure: Exposure) -> Floats:
        """Return it (3, 3) for surge, sway and yaw about P0, from which midships lies `arm` ahead."""
        arm = exposure.head * exposure.arm
        coupled, turning = self.across * arm, self.turning + self.across * arm * arm
        return np.array([[self.ahead, 0.0, 0.0], [0.0, self.across, coupled], [0.0, coupled, turning]])


def inertia_of(ship: Ship, draught: float, depth: float) -> Inertia:
    """Return the inertia of a ship at a mean draught, m, in water `depth` m deep; NaN counts as no water
    under her keel."""
    still = float(displaced_volume(ship, np.array([draught]))[0]) * SEA_WATER / 1000.0
    clearance = (depth - draught) / draught if isfinite(depth) else (np.inf if depth == np.inf else 0.0)
    across = float(np.interp(clearance, CLEARANCES, ACROSS))
    turning = still * across * (GYRATION * ship.lbp) ** 2
    return Inertia(still * (1.0 + ADDED_AHEAD), still * across, turning, still)


@dataclass(frozen=True, slots=True, eq=False)
class Motion:
    """Where she is and how fast: surge, sway m, yaw rad, and their rates a second, (3,) each."""

    place: Floats
    speed: Floats


def at_rest(arrangement: Arrangement, situation: Situation, unstretched: Floats) -> Motion:
    """Return the balance at the first instant of a situation, without `other_force`, as a motion that
    begins."""
    first = situation.rows(0, 1)
    loads, _ = loads_of(arrangement.exposure, first)
    pose, _ = settled(arrangement, first, tensions_of(arrangement, unstretched), loads)
    place = np.nan_to_num(np.array([pose.surge[0], pose.sway[0], pose.yaw[0]]))
    return Motion(place, np.zeros(3))


def natural_periods(mass: Floats, stiffness: Floats) -> Floats:
    """Return the natural periods, s (3,), longest first, of a mass matrix (3, 3), t and t m, with a stiffness
    matrix (3, 3), kN/m and kN: infinite where nothing draws her back."""
    squares = np.linalg.eigvals(np.linalg.solve(mass, stiffness)).real
    with np.errstate(divide="ignore"):
        periods = 2.0 * np.pi / np.sqrt(np.maximum(squares, 0.0))
    return np.sort(periods)[::-1]


def modal_damping(mass: Floats, stiffness: Floats) -> Floats:
    """Return the damping matrix (3, 3), kN s/m, with which each natural motion has `DAMPING` of critical,
    whichever point the matrices are about; none for one that nothing draws back."""
    squares, motions = np.linalg.eig(np.linalg.solve(mass, stiffness))
    rates = np.diag(np.sqrt(np.maximum(squares.real, 0.0)))
    damping: Floats = 2.0 * DAMPING * (mass @ motions @ rates @ np.linalg.inv(motions)).real
    return damping


def stiffness_at(mooring: Mooring, place: Floats) -> Floats:
    """Return how fast lines and fenders draw her back at one instant, (3, 3) kN/m, kN and kN m."""
    k = forces_at(mooring, _arc(mooring, place), NO_TURNING).stiffness[:, 0]
    r = mooring.radius
    return np.array([[k[0], k[1], k[2] * r], [k[1], k[3], k[4] * r], [k[2] * r, k[4] * r, k[5] * r * r]])


def ranged(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    pushes: Callable[[Floats], Floats],
    motion: Motion,
    inertia: Inertia,
    step_s: float,
    cap_kn: Floats | None = None,
) -> tuple[Floats, Motion]:
    """Return the force (n, 3), as `Situation.other_force`, with which the balance at each of n instants
    `step_s` apart gives the pose she then has while `pushes` (times (k,) to (k, 3)) drive her; and the motion
    that she has at the last.

    `motion` is that of one step before the first. `unstretched` (lines,) m; `cap_kn` (lines,) as in `hold`.
    Raise ValueError where she goes more than 30 m off: nothing holds her."""
    loads, _ = loads_of(arrangement.exposure, situation)
    tensions = tensions_of(arrangement, unstretched, cap_kn)
    mooring = mooring_of(arrangement, arrangement.fenders, situation, tensions, loads)
    mass = inertia.matrix(arrangement.exposure)
    stiffness = stiffness_at(mooring.rows(np.array([0])), motion.place)
    steps = max(1, ceil(STEPS_A_PERIOD * step_s / natural_periods(mass, stiffness).min()))
    damping = modal_damping(mass, stiffness)
    ease: Floats = np.linalg.inv(mass).astype(np.float64)
    body = _Body(ease, damping, step_s / steps)
    forces = np.empty((len(situation), 3))
    place, speed = motion.place, motion.speed
    exposure = arrangement.exposure
    first = situation.time[0] - step_s
    driven = _about_p0(exposure, pushes(first + body.step_s * np.arange(len(situation) * steps + 1)))
    for row in range(len(situation)):
        here = mooring.rows(np.array([row]))
        net = _net(here, place)
        for at in range(row * steps, (row + 1) * steps):
            half = speed + 0.5 * body.step_s * body.rate(net + driven[at], speed)
            place = place + body.step_s * half
            net = _net(here, place)
            speed = half + 0.5 * body.step_s * body.rate(net + driven[at + 1], half)
        if not np.abs(place[:2]).max() < FARTHEST_M:
            raise ValueError(f"{FARTHEST_M:g} m off her place")
        forces[row] = _in_ship_frame(exposure, -net, float(place[2]))
    return forces, Motion(place, speed)


@dataclass(frozen=True, slots=True, eq=False)
class _Body:
    """What resists: the inverse of the mass matrix, the damping matrix, and the step."""

    ease: Floats
    damping: Floats
    step_s: float

    def rate(self, force: Floats, speed: Floats) -> Floats:
        change: Floats = self.ease @ (force - self.damping @ speed)
        return change


def _arc(mooring: Mooring, place: Floats) -> Floats:
    return np.array([[place[0]], [place[1]], [place[2] * mooring.radius]])


def _net(mooring: Mooring, place: Floats) -> Floats:
    """Return Fx, Fy kN in the berth frame and the moment about P0, kN m (3,), of one instant."""
    net = forces_at(mooring, _arc(mooring, place), NO_TURNING).net[:, 0]
    return np.array([net[0], net[1], net[2] * mooring.radius])


def _about_p0(exposure: Exposure, push: Floats) -> Floats:
    """Return forces (k, 3) of the ship frame, N about midships, in the berth frame about P0; her yaw is
    small."""
    ahead, to_port, turning = push.T
    berth = exposure.head * ahead, exposure.head * to_port, turning + exposure.arm * to_port
    return np.column_stack(berth)


def _in_ship_frame(exposure: Exposure, force: Floats, yaw: float) -> Floats:
    """Return a force of the berth frame about P0 in the ship frame about midships, as `Loads` turns it
    back."""
    cos, sin = exposure.head * np.cos(yaw), exposure.head * np.sin(yaw)
    ahead, to_port = force[0] * cos + force[1] * sin, -force[0] * sin + force[1] * cos
    return np.array([ahead, to_port, force[2] - exposure.arm * to_port])
