"""Fenders: how far each is pressed in, how hard it pushes back, and where its push acts.

The ship's flat side at fender x stands at

    y_side = y0 - (B/2) cos(yaw) + tan(yaw) (x - x0 - (B/2) sin(yaw)),   (x0, y0) = P0

off the face of the uncompressed fenders; deflection = max(0, -y_side). A fender's push on the ship is the
force of virtual work: its reaction times the gradient of y_side in (surge, sway, yaw), so that the work of
pressing all fenders in is a potential of the pose. Heel and trim do not move the contact. Fenders push
only: a reaction is never below zero.

Arrays in here are fenders first, (fenders, instants).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from alongside.readings import Floats
from alongside.stay.model import Fender


@dataclass(frozen=True, slots=True, eq=False)
class FenderCurve:
    """Reaction against deflection, straight between knots (k,): m, kN. From knot i on the reaction grows by
    `stiffness` kN/m."""

    deflection: Floats
    reaction: Floats
    stiffness: Floats


@dataclass(frozen=True, slots=True, eq=False)
class FenderRow:
    """The fenders of a berth in the order of the stay file: berth stations x (fenders,), distinct curves,
    and which fenders have each of them."""

    x: Floats
    curves: tuple[FenderCurve, ...]
    having: tuple[NDArray[np.intp], ...]

    def __len__(self) -> int:
        return int(self.x.size)


@dataclass(frozen=True, slots=True, eq=False)
class Push:
    """(fenders, n): reaction kN, its derivative by the deflection kN/m (0 out of contact)."""

    reaction: Floats
    stiffness: Floats


def fender_curve(rows: Sequence[tuple[float, float]]) -> FenderCurve:
    """Return the curve through rows of (deflection m, reaction kN), the first (0, 0), deflections rising.

    Reactions may fall from row to row (a buckling fender), but not below zero. Beyond the last row the curve
    goes on with its last slope; should that fall, it ends at zero and stays there.
    """
    table = np.array(rows, dtype=np.float64)
    if table.ndim != 2 or table.shape[1] != 2 or len(table) < 2:
        raise ValueError("a fender table needs at least two rows of [deflection m, reaction kN]")
    deflection, reaction = table.T
    if deflection[0] != 0.0 or reaction[0] != 0.0:
        raise ValueError(f"a fender table begins with [0, 0], not [{deflection[0]:g}, {reaction[0]:g}]")
    if not (np.isfinite(table).all() and (np.diff(deflection) > 0).all() and (reaction >= 0).all()):
        raise ValueError("deflections of a fender rise, reactions are not negative")
    stiffness = np.diff(reaction) / np.diff(deflection)
    stiffness = np.append(stiffness, stiffness[-1])
    if stiffness[-1] < 0.0:
        spent = deflection[-1] - reaction[-1] / stiffness[-1]
        deflection, reaction = np.append(deflection, spent), np.append(reaction, 0.0)
        stiffness = np.append(stiffness, 0.0)
    return FenderCurve(deflection.copy(), reaction.copy(), stiffness)


def fender_row(fenders: Sequence[Fender]) -> FenderRow:
    """Return fenders made ready; each gives a stiffness or a table."""
    rows = [
        fender.table if fender.stiffness_kn_per_m is None else ((0.0, 0.0), (1.0, fender.stiffness_kn_per_m))
        for fender in fenders
    ]
    distinct = list(dict.fromkeys(rows))
    return FenderRow(
        x=np.array([fender.x for fender in fenders], dtype=np.float64),
        curves=tuple(fender_curve(each) for each in distinct),
        having=tuple(np.array([i for i, own in enumerate(rows) if own == each]) for each in distinct),
    )


def side_distance(row: FenderRow, breadth: float, x0: Floats, y0: Floats, yaw: Floats) -> Floats:
    """Return y_side, m (fenders, n): how far the ship's side stands off each fender's uncompressed face;
    negative where the fender is pressed in. x0, y0, yaw (n,): berth position of P0 in m, yaw in rad."""
    half = breadth / 2.0
    return (y0 - half * np.cos(yaw)) + np.tan(yaw) * _along(row, half, x0, yaw)


def side_gradient(row: FenderRow, breadth: float, x0: Floats, yaw: Floats) -> tuple[Floats, Floats]:
    """Return the gradient of y_side: by surge (n,), the same for all fenders, and by yaw (fenders, n). By
    sway it is 1."""
    return -np.tan(yaw), _along(row, breadth / 2.0, x0, yaw) / np.cos(yaw) ** 2


def push(row: FenderRow, side: Floats) -> Push:
    """Return the reaction of each fender with the ship's side at `side` (fenders, n), NaN where that is."""
    reaction, stiffness = np.empty_like(side), np.empty_like(side)
    for curve, having in zip(row.curves, row.having, strict=True):
        deflection = np.maximum(-side[having], 0.0)
        knot = _knot(curve, deflection)
        slope = curve.stiffness[knot]
        reaction[having] = curve.reaction[knot] + slope * (deflection - curve.deflection[knot])
        stiffness[having] = np.where(side[having] < 0.0, slope, 0.0)
    return Push(reaction, stiffness)


def _along(row: FenderRow, half_breadth: float, x0: Floats, yaw: Floats) -> Floats:
    return row.x[:, None] - (x0 + half_breadth * np.sin(yaw))


def _knot(curve: FenderCurve, deflection: Floats) -> NDArray[np.intp]:
    """Return the last knot at or below each deflection."""
    knot = np.zeros(deflection.shape, dtype=np.intp)
    for begin in curve.deflection[1:]:
        knot += deflection >= begin
    return knot
