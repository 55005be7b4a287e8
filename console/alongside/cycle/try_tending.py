"""What a line would carry after a tending, before it is done: calculated from a Picture alone.

The ship is kept where she lies: in truth she moves a little, and takes part of the change back.
"""

from dataclasses import dataclass
from math import nan

import numpy as np

from alongside.actions import TendLine
from alongside.cycle.picture import Picture
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.bights import change_to
from alongside.mechanics.lines import line_states
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.state import Pose
from alongside.readings import Floats


@dataclass(frozen=True, slots=True)
class Trial:
    """The line after it: kN, shares of WLL and of its allowance, and the metres of main rope that go out
    (negative = in). NaN where it cannot be said."""

    tension_kn: float
    load_share: float
    stretch_share: float
    paid_out_m: float


def tried(picture: Picture, tend: TendLine) -> Trial:
    """The tending of one line of the stay, the ship kept where she lies; all NaN where nothing is known
    of the line now, or no such length is left."""
    stay = picture.stay
    arrangement = arrangement_of(stay)
    index = arrangement.ids.index(tend.line)
    lengths: Floats = np.array([row.unstretched_m for row in picture.lines])
    pose = _pose(picture)
    change = nan if tend.paid_out is None else tend.paid_out
    if tend.to_tension_kn is not None:
        wanted = np.full(len(arrangement.ids), tend.to_tension_kn)
        would_be = unstretched_for(arrangement, pose, wanted)[0]
        change = change_to(arrangement.partners, would_be, lengths, index)
    if np.isnan(picture.lines[index].tension_kn) or not lengths[index] + change > 0.0:
        return Trial(nan, nan, nan, nan)
    lengths[index] += change
    then = line_states(arrangement, pose, lengths)
    tension, load, stretch = (
        float(of_all[0, index]) for of_all in (then.tension_kn, then.load_share, then.stretch_share)
    )
    return Trial(tension, load, stretch, float(change))


def _pose(picture: Picture) -> Pose:
    def one(value: float) -> Floats:
        return np.array([value])

    heel = 0.0 if np.isnan(picture.heel_deg) else picture.heel_deg
    return Pose(
        surge=one(picture.surge),
        sway=one(picture.sway),
        yaw=one(np.radians(picture.yaw_deg)),
        tide=one(picture.tide),
        draught_fwd=one(picture.draught_fwd),
        draught_aft=one(picture.draught_aft),
        heel_deg=one(heel),
        time=one(picture.time),
    )
