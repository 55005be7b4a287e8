"""Where points of the ship are: from the ship frame to the berth frame.

    p_berth = P0 + Rz(base + yaw) Ry(theta) Rx(phi) (p_ship - p_ref)

with phi the heel, s = (Tf - Ta) / (xf - xa) the slope of the keel by the draught marks, tan theta =
cos(phi) s (bow down +), p_ref = (ship_x, 0, Ta + (ship_x - xa) s) the point of the centreline at the
waterline, P0 = (berth_x + surge, B/2 + sway, tide), base = 0 starboard side to, pi port side to.

Tide, draughts and heel are measured; surge, sway and yaw turn and shift what `levelled` gives.
Arrays in here are (points, instants).
"""

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Pose
from alongside.readings import Floats

Axes = tuple[Floats, Floats, Floats]
"""x, y, z, each (points, instants)."""


def in_place(situation: Situation) -> Pose:
    """Return the ship where she was made fast, surge = sway = yaw = 0, floating as the situation says;
    (n,)."""
    n = len(situation)
    return Pose(
        surge=np.zeros(n),
        sway=np.zeros(n),
        yaw=np.zeros(n),
        tide=situation.tide,
        draught_fwd=situation.draught_fwd,
        draught_aft=situation.draught_aft,
        heel_deg=situation.heel_deg,
        time=situation.time,
    )


def levelled(points: Floats, pose: Pose, arrangement: Arrangement) -> Axes:
    """Return Ry(theta) Rx(phi) (p_ship - p_ref): where `points` (points, 3) of the ship frame stand from the
    point of the centreline at the waterline, in axes ahead, to port and up that heel and trim have levelled.

    Does not depend on surge, sway and yaw. NaN at instants whose draughts or heel are not known.
    """
    keel_slope = (pose.draught_fwd - pose.draught_aft) / (arrangement.mark_fwd - arrangement.mark_aft)
    waterline = pose.draught_aft + (arrangement.ship_x - arrangement.mark_aft) * keel_slope
    heel = np.radians(pose.heel_deg)
    cos_heel, sin_heel = np.cos(heel), np.sin(heel)
    tan_trim = cos_heel * keel_slope
    cos_trim = 1.0 / np.sqrt(1.0 + tan_trim**2)
    sin_trim = tan_trim * cos_trim
    x, y = points[:, 0, None] - arrangement.ship_x, points[:, 1, None]
    z = points[:, 2, None] - waterline
    across = y * cos_heel - z * sin_heel
    upright = y * sin_heel + z * cos_heel
    return x * cos_trim + upright * sin_trim, across, upright * cos_trim - x * sin_trim


def placed(offsets: Axes, pose: Pose, arrangement: Arrangement) -> Axes:
    """Return P0 + Rz(base + yaw) offsets: levelled offsets brought to the berth frame."""
    ahead, to_port, up = offsets
    cos, sin = arrangement.head * np.cos(pose.yaw), arrangement.head * np.sin(pose.yaw)
    # A place half known is not known: without the tide x and y are NaN as well.
    known = 0.0 * pose.tide
    x = (arrangement.berth_x + pose.surge + known) + (ahead * cos - to_port * sin)
    y = (arrangement.breadth / 2.0 + pose.sway + known) + (ahead * sin + to_port * cos)
    return x, y, up + pose.tide


def ship_to_berth(points: Floats, pose: Pose, arrangement: Arrangement) -> Floats:
    """Return berth frame positions (n, points, 3) of ship frame `points` (points, 3) at n poses."""
    axes = placed(levelled(points, pose, arrangement), pose, arrangement)
    return np.stack(axes).transpose(2, 1, 0)
