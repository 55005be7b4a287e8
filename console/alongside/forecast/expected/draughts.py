"""What masses put on board or taken off do to draught, trim and heel, from a table of hydrostatics.

Masses are tonnes, moments tonne-metres, ship frame (x forward of the aft perpendicular, y to port). TPC and
MCTC are per centimetre, as stability books give them; MCTC is for a trim over the length between
perpendiculars. Textbook ship stability, with one refinement: where TPC, MCTC and LCF change with draught,
the moment of the added buoyancy is summed up through the table, so that loading in any order, or loading
and discharging again, ends at the same draughts.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from alongside.readings import Floats
from alongside.stay.model import CargoOperation, HydrostaticRow, Ship


@dataclass(frozen=True, slots=True)
class Hydrostatics:
    """Hydrostatics as arrays (k,), draught rising; the draught is that at the centre of flotation.

    `moment` is that of displacement about the aft perpendicular as it grows from the first row, t m
    (integral of LCF over displacement).
    """

    draught: Floats
    displacement: Floats
    tpc: Floats
    mctc: Floats
    lcf: Floats
    moment: Floats

    def at_draught(self, column: Floats, draught: Floats) -> Floats:
        """Return a column at draughts, linear between rows; NaN outside. One row serves everywhere."""
        if self.draught.size == 1:
            return np.where(np.isnan(draught), np.nan, column[0])
        return _between(draught, self.draught, column)

    def displacement_at(self, draught: Floats) -> Floats:
        """Return displacement t at draughts m; NaN outside a table of several rows."""
        if self.draught.size == 1:
            only: Floats = self.displacement[0] + (draught - self.draught[0]) * 100.0 * self.tpc[0]
            return only
        return self.at_draught(self.displacement, draught)

    def draught_at(self, displacement: Floats) -> Floats:
        """Return draught m at the centre of flotation for displacements t; NaN outside a table of several
        rows."""
        if self.draught.size == 1:
            only: Floats = self.draught[0] + (displacement - self.displacement[0]) / (100.0 * self.tpc[0])
            return only
        return _between(displacement, self.displacement, self.draught)

    def moment_at(self, displacement: Floats) -> Floats:
        """Return moment of displacement about the aft perpendicular, t m, from the first row on."""
        if self.draught.size == 1:
            only: Floats = (displacement - self.displacement[0]) * self.lcf[0]
            return only
        return _between(displacement, self.displacement, self.moment)


def _between(x: Floats, known: Floats, value: Floats) -> Floats:
    """Return values linear between rows, NaN outside."""
    return np.asarray(np.interp(x, known, value, left=np.nan, right=np.nan), dtype=np.float64)


def hydrostatics_of(rows: Sequence[HydrostaticRow]) -> Hydrostatics:
    """Return the table as arrays; rows by rising draught, at least one."""
    columns = [(row.draught, row.displacement, row.tpc, row.mctc, row.lcf) for row in rows]
    draught, displacement, tpc, mctc, lcf = np.array(columns, dtype=np.float64).T
    steps = np.diff(displacement) * (lcf[1:] + lcf[:-1]) / 2.0
    moment = np.concatenate(([0.0], np.cumsum(steps)))
    return Hydrostatics(draught, displacement, tpc, mctc, lcf, moment)


def masses_on_board(operations: Sequence[CargoOperation], time: ArrayLike) -> Floats:
    """Return (n, operations) tonnes moved by each operation up to `time` (n,): + loaded, - discharged."""
    at = np.asarray(time, dtype=np.float64)
    moved = np.zeros((at.size, len(operations)))
    for column, operation in enumerate(operations):
        hours = np.maximum(at - operation.start, 0.0) / 3600.0
        amount = np.minimum(hours * operation.rate, abs(operation.tonnes))
        moved[:, column] = np.copysign(amount, operation.tonnes)
    return moved


def draughts_with_masses(
    ship: Ship, draught_fwd: float, draught_aft: float, mass: ArrayLike, x: ArrayLike
) -> tuple[Floats, Floats]:
    """Return draughts at the marks, forward and aft, (n,) m, once `mass` is added to a ship at known
    draughts.

    `draught_fwd`, `draught_aft` at the marks, m, before; `mass` (n, k) t, + loaded; `x` (k,) m forward of the
    aft perpendicular. NaN where the ship floats outside the table. Sinkage = mass / TPC; change of trim =
    trimming moment / MCTC, shared out about the centre of flotation.
    """
    table = hydrostatics_of(ship.hydrostatics)
    masses = np.asarray(mass, dtype=np.float64)
    slope = (draught_aft - draught_fwd) / (ship.marks.fwd - ship.marks.aft)
    mean = _draught_at_flotation(table, ship.marks.aft, draught_aft, slope)
    before = table.displacement_at(mean)
    after = before + masses.sum(axis=1)
    draught = table.draught_at(after)
    lever = table.moment_at(after) - table.moment_at(before) - masses @ np.asarray(x, dtype=np.float64)
    trimming = slope * ship.lbp * 100.0 * table.at_draught(table.mctc, mean) + lever
    new_slope = trimming / (100.0 * table.at_draught(table.mctc, draught)) / ship.lbp
    lcf = table.at_draught(table.lcf, draught)
    return draught + new_slope * (lcf - ship.marks.fwd), draught + new_slope * (lcf - ship.marks.aft)


def heel_with_masses(mass: ArrayLike, y: ArrayLike, displacement: ArrayLike, gm: float) -> Floats:
    """Return heel (n,) deg, starboard down +, by `mass` (n, k) t at `y` (k,) m to port of the centreline.

    tan(heel) = moment / (displacement x GM), the small-angle rule, for a ship upright before; `displacement`
    (n,) t, `gm` m.
    """
    moment = np.asarray(mass, dtype=np.float64) @ np.asarray(y, dtype=np.float64)
    heel: Floats = np.degrees(np.arctan(-moment / (np.asarray(displacement, dtype=np.float64) * gm)))
    return heel


def displacement_of(ship: Ship, draught_fwd: float, draught_aft: float) -> float:
    """Return displacement t of a ship floating at these draughts at the marks; NaN outside the table."""
    table = hydrostatics_of(ship.hydrostatics)
    slope = (draught_aft - draught_fwd) / (ship.marks.fwd - ship.marks.aft)
    mean = _draught_at_flotation(table, ship.marks.aft, draught_aft, slope)
    return float(table.displacement_at(mean)[0])


def _draught_at_flotation(table: Hydrostatics, mark_aft: float, draught_aft: float, slope: float) -> Floats:
    """Return (1,) draught m at the centre of flotation, whose place in turn depends on that draught."""
    draught = np.array([draught_aft])
    for _ in range(4):
        lcf = table.at_draught(table.lcf, np.clip(draught, table.draught[0], table.draught[-1]))
        draught = draught_aft - slope * (lcf - mark_aft)
    return draught
