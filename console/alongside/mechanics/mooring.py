"""The mooring whose balance is sought, put together from the arrangement and a situation."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.balance import RESIDUAL, balance
from alongside.mechanics.balance_forces import Mooring
from alongside.mechanics.fenders import FenderRow
from alongside.mechanics.flow import Loads
from alongside.mechanics.geometry import Leads
from alongside.mechanics.pose import in_place, levelled
from alongside.mechanics.sag import HangingTensions
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Pose
from alongside.mechanics.tension import Tensions
from alongside.readings import Codes, Floats


@dataclass(frozen=True, slots=True, eq=False)
class HoldingTensions:
    """Tensions of lines as they count in the balance: those to a ship that moves with her pull both alike,
    and count as nothing."""

    all_lines: Tensions
    hold_her: Floats | float

    def __call__(self, path: Floats) -> tuple[Floats, Floats]:
        tension, stiffness = self.all_lines(path)
        return tension * self.hold_her, stiffness * self.hold_her

    def rows(self, rows: NDArray[np.intp]) -> "HoldingTensions":
        return HoldingTensions(self.all_lines.rows(rows), self.hold_her)


def mooring_of(
    arrangement: Arrangement,
    fenders: FenderRow,
    situation: Situation,
    tensions: Tensions,
    loads: Loads,
) -> Mooring:
    """Return the mooring at n instants; NaN in its arms where tide, draught or heel is not known."""
    ahead, to_port, up = levelled(arrangement.fairlead, in_place(situation), arrangement)
    bollard_x, bollard_y, _ = arrangement.far_ends.at.T[:, :, None]
    bollard_z = arrangement.far_ends.height(situation.tide, situation.time)
    rise = bollard_z - up - situation.tide
    if arrangement.weights.any:
        tensions = HangingTensions(tensions, arrangement.weights, arrangement.inboard[:, None], rise * rise)
    if arrangement.far_ends.moves is not None:
        tensions = HoldingTensions(tensions, arrangement.far_ends.hold_her())
    return Mooring(
        ahead=arrangement.head * ahead,
        to_port=arrangement.head * to_port,
        rise_squared=rise * rise,
        bollard_x=bollard_x - arrangement.berth_x,
        bollard_y=bollard_y - arrangement.breadth / 2.0,
        inboard=arrangement.inboard[:, None],
        tensions=tensions,
        fenders=fenders,
        breadth=arrangement.breadth,
        berth_x=arrangement.berth_x,
        loads=loads,
        radius=_radius(arrangement, fenders),
        partners=arrangement.partners,
    )


def loads_at(arrangement: Arrangement, tensions: Tensions, leads: Leads) -> Floats:
    """Return the tension of each line, kN (lines, n), at its lead, as it sags where a weight is given."""
    if arrangement.weights.any:
        tensions = HangingTensions(
            tensions, arrangement.weights, arrangement.inboard[:, None], leads.z * leads.z
        )
    return tensions(leads.path)[0]


def _radius(arrangement: Arrangement, fenders: FenderRow) -> float:
    """Return a length, m, that makes an arc of a turn: how far out lines and fenders act, in the mean of
    squares."""
    arms = np.append(arrangement.fairlead[:, 0] - arrangement.ship_x, fenders.x - arrangement.berth_x)
    return float(max(np.sqrt((arms * arms).mean()), 1.0)) if arms.size else 1.0


def settled(
    arrangement: Arrangement,
    situation: Situation,
    tensions: Tensions,
    loads: Loads,
    in_order: bool = False,
    start: Floats | None = None,
    left: float = RESIDUAL,
) -> tuple[Pose, Codes]:
    """Return the pose at which all balances at each of n instants, NaN where none is found, and why that is
    so; `in_order`, `start` and `left` as in `balance`."""
    mooring = mooring_of(arrangement, arrangement.fenders, situation, tensions, loads)
    found = balance(mooring, in_order, start, left)
    pose = replace(in_place(situation), surge=found.surge, sway=found.sway, yaw=found.yaw)
    return pose, found.reason
