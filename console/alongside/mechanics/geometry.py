"""How each line leads: lengths, angles and the direction of its pull. Arrays (lines, instants).

A line runs winch -> fairlead -> bollard. Outboard length = |bollard - fairlead|, inboard = |fairlead -
winch|, path = both together; the inboard part moves with the ship and keeps its length.
"""

from dataclasses import dataclass

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.bights import shared
from alongside.mechanics.pose import levelled, placed
from alongside.mechanics.state import Pose
from alongside.readings import Floats


@dataclass(frozen=True, slots=True, eq=False)
class Leads:
    """From fairlead to bollard, m: `x`, `y`, `z` in the berth frame; `ahead` and `in_` (towards the quay)
    along the ship's own head and beam, level; `level` the horizontal length; `outboard` and `path`,
    the mean of both for the parts of a bight."""

    x: Floats
    y: Floats
    z: Floats
    ahead: Floats
    in_: Floats
    level: Floats
    outboard: Floats
    path: Floats


def leads_of(arrangement: Arrangement, pose: Pose) -> Leads:
    """Return the leads of all lines at n poses; NaN at instants whose pose is not known."""
    offsets = levelled(arrangement.fairlead, pose, arrangement)
    fairlead_x, fairlead_y, fairlead_z = placed(offsets, pose, arrangement)
    bollard_x, bollard_y, _ = arrangement.far_ends.at.T[:, :, None]
    bollard_z = arrangement.far_ends.height(pose.tide, pose.when)
    if arrangement.far_ends.moves is not None:
        bollard_x, bollard_y = _carried_along(arrangement, pose, bollard_x, bollard_y)
    x, y, z = bollard_x - fairlead_x, bollard_y - fairlead_y, bollard_z - fairlead_z
    cos, sin = np.cos(pose.yaw), np.sin(pose.yaw)
    squared = x * x + y * y
    outboard = np.sqrt(squared + z * z)
    return Leads(
        x=x,
        y=y,
        z=z,
        ahead=arrangement.head * (x * cos + y * sin),
        in_=x * sin - y * cos,
        level=np.sqrt(squared),
        outboard=outboard,
        path=shared(arrangement.partners, outboard + arrangement.inboard[:, None]),
    )


def _carried_along(
    arrangement: Arrangement, pose: Pose, bollard_x: Floats, bollard_y: Floats
) -> tuple[Floats, Floats]:
    """Return where bollards stand (lines, n), those on a ship made fast to her moved and turned as she is."""
    cos, sin = np.cos(pose.yaw), np.sin(pose.yaw)
    x0, y0 = arrangement.berth_x, arrangement.breadth / 2.0
    from_x, from_y = bollard_x - x0, bollard_y - y0
    moves = np.asarray(arrangement.far_ends.moves)[:, None]
    x = np.where(moves, x0 + pose.surge + from_x * cos - from_y * sin, bollard_x)
    y = np.where(moves, y0 + pose.sway + from_x * sin + from_y * cos, bollard_y)
    return x, y


def vertical_deg(leads: Leads) -> Floats:
    """Return the angle of fairlead-to-bollard below the horizontal, deg; + = leads down from the fairlead."""
    return np.degrees(np.arctan2(-leads.z, leads.level))


def horizontal_deg(leads: Leads) -> Floats:
    """Return the angle between the line's horizontal lead and the ship's head, deg: 0 ahead, 90 abeam on the
    quay side, 180 astern. Between 0 and 180 whichever side the line leads to."""
    return np.degrees(np.arctan2(np.abs(leads.in_), leads.ahead))
