"""What wind and current have in common: the angle of attack, and how a force on the hull reaches the pose.

Angle of attack g: the direction the flow comes FROM, off the bow, clockwise seen from above: 0 ahead, 90 from
starboard, 180 astern, 270 from port. Forces on the hull in the ship frame: FX ahead +, FY to port +, N about
midships (Lbp/2 forward of the aft perpendicular), bow to port +. A yaw of the pose turns the bow to port, so
g = g in place + yaw.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from alongside.readings import Floats

HullForce = tuple[Floats, Floats, Floats]
"""FX, FY kN and N kN m in the ship frame, N about midships; (n,) each."""

Formula = Callable[..., HullForce]
"""formula(g in rad, *arrays) -> HullForce, all (n,)."""


@dataclass(frozen=True, slots=True, eq=False)
class Flow:
    """Wind or current over n instants: the angle of attack while she lies in place, rad (n,), the formula of
    its force, and the arrays (n,) that the formula takes besides the angle."""

    attack: Floats
    formula: Formula
    arrays: tuple[Floats, ...]

    def at(self, yaw: Floats) -> HullForce:
        return self.formula(self.attack + yaw, *self.arrays)

    def rows(self, rows: NDArray[np.intp]) -> "Flow":
        return Flow(self.attack[rows], self.formula, tuple(array[rows] for array in self.arrays))


@dataclass(frozen=True, slots=True, eq=False)
class Loads:
    """All that leans on the hull, as a function of yaw: `flows`, and a `steady` load (3, n) of Fx, Fy kN in
    the berth frame and the moment about P0, kN m. `arm` is how far midships lies ahead of P0, m; `head` +1
    with the bow towards berth +x, else -1."""

    flows: tuple[Flow, ...]
    steady: Floats
    arm: float
    head: float

    def at(self, yaw: Floats) -> Floats:
        """Return (3, n) Fx, Fy in the berth frame, kN, and the moment about P0, kN m, at a yaw (n,) in
        rad."""
        total = self.steady.copy()
        cos, sin = self.head * np.cos(yaw), self.head * np.sin(yaw)
        for flow in self.flows:
            ahead, to_port, moment = flow.at(yaw)
            total[0] += ahead * cos - to_port * sin
            total[1] += ahead * sin + to_port * cos
            total[2] += moment + self.arm * to_port
        return total

    def rows(self, rows: NDArray[np.intp]) -> "Loads":
        flows = tuple(flow.rows(rows) for flow in self.flows)
        return Loads(flows, self.steady[:, rows], self.arm, self.head)


def attack_deg(from_deg: Floats, heading_deg: Floats | float) -> Floats:
    """Return the angle of attack, deg in [0, 360), of a flow that comes from a true direction."""
    return np.mod(from_deg - heading_deg, 360.0)


def dynamic_pressure(density: float, speed: Floats) -> Floats:
    """Return q = 0.5 rho V^2 in kN/m2; density kg/m3, speed m/s."""
    return 0.0005 * density * speed * speed


class PeriodicTable:
    """Coefficients cx, cy, cn by angle of attack, straight lines between rows, the same again every 360
    deg."""

    def __init__(self, rows: Sequence[tuple[float, float, float, float]]) -> None:
        table = np.array(sorted(rows), dtype=np.float64)
        if table.ndim != 2 or table.shape[1] != 4 or not np.isfinite(table).all():
            raise ValueError("coefficients are rows of [angle of attack deg, cx, cy, cn]")
        if (np.diff(table[:, 0]) <= 0).any() or table[-1, 0] - table[0, 0] > 360.0:
            raise ValueError("angles of attack rise through at most one turn")
        first, last = table[0].copy(), table[-1].copy()
        first[0], last[0] = first[0] + 360.0, last[0] - 360.0
        around = [last[None], table, first[None]] if first[0] > table[-1, 0] else [table]
        self._angle, self._cx, self._cy, self._cn = (
            np.radians(np.vstack(around)[:, 0]),
            *np.vstack(around)[:, 1:].T,
        )
        self._from = float(np.radians(table[0, 0]))

    def __call__(self, attack: Floats) -> tuple[Floats, Floats, Floats]:
        """Return cx, cy, cn at angles of attack in rad, any shape."""
        turn = self._from + np.mod(attack - self._from, 2.0 * np.pi)
        return (
            np.interp(turn, self._angle, self._cx),
            np.interp(turn, self._angle, self._cy),
            np.interp(turn, self._angle, self._cn),
        )


def symmetric_rows(
    rows: Sequence[tuple[float, float, float, float]],
) -> list[tuple[float, float, float, float]]:
    """Return the rows for 0 to 180 deg completed for a ship whose sides are alike: from port as from
    starboard, with cy and cn turned about."""
    mirrored = [(360.0 - g, cx, -cy, -cn) for g, cx, cy, cn in rows if 0.0 < g < 180.0]
    return sorted([*rows, *mirrored])
