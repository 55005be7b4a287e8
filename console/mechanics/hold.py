"""The whole set at n instants: the pose of the ship, her lines and her fenders.

The ship is held in place: she floats with tide, draughts and heel, and lies just touching her fenders.
"""

from collections.abc import Sequence

import numpy as np

from console.mechanics.arrangement import Arrangement
from console.mechanics.lines import line_states
from console.mechanics.pose import in_place
from console.mechanics.reasons import NoAnswer
from console.mechanics.state import FenderStates, Hold, LineStates, Pose
from console.readings import Codes, Floats
from console.situation import Situation


def hold(arrangement: Arrangement, situation: Situation, unstretched: Floats) -> Hold:
    """How the set holds the ship at each instant of the situation.

    `unstretched` main rope, m, (lines,) or (n, lines); NaN for a line not made fast, which then has no load
    while the others have theirs. An instant at which tide, a draught or a fitted heel is not known is NaN
    throughout, and `reason` says which.
    """
    pose = in_place(situation)
    reason = why_unknown(situation)
    return Hold(pose, line_states(arrangement, pose, unstretched), untouched(arrangement, reason), reason)


def why_unknown(situation: Situation) -> Codes:
    """(n,) code of `NoAnswer` for what the pose lacks, the tide first."""
    lacking = [
        np.isnan(situation.tide),
        np.isnan(situation.draught_fwd) | np.isnan(situation.draught_aft),
        np.isnan(situation.heel_deg),
    ]
    codes = [NoAnswer.TIDE_UNKNOWN, NoAnswer.DRAUGHT_UNKNOWN, NoAnswer.HEEL_UNKNOWN]
    return np.select(lacking, codes, NoAnswer.ANSWERED).astype(np.int8)


def untouched(arrangement: Arrangement, reason: Codes) -> FenderStates:
    """Fenders of a ship in place: no deflection, no reaction; NaN where the instant has no answer."""
    nothing = np.where((reason == NoAnswer.ANSWERED)[:, None], np.zeros(arrangement.fender_x.size), np.nan)
    return FenderStates(nothing, nothing.copy())


def nothing_known(arrangement: Arrangement, situation: Situation) -> Hold:
    """NaN throughout, for instants whose calculation failed."""
    n = len(situation)
    instants = np.full(n, np.nan)
    by_line = np.full((n, len(arrangement.ids)), np.nan)
    by_fender = np.full((n, arrangement.fender_x.size), np.nan)
    return Hold(
        pose=Pose(**dict.fromkeys(Pose.__dataclass_fields__, instants)),
        lines=LineStates(**dict.fromkeys(LineStates.__dataclass_fields__, by_line)),
        fenders=FenderStates(by_fender, by_fender),
        reason=np.full(n, NoAnswer.FAILED, dtype=np.int8),
    )


def stacked(parts: Sequence[Hold]) -> Hold:
    """Several holds, one after the other in time, as one; at least one."""
    if len(parts) == 1:
        return parts[0]

    def joined(arrays: Sequence[Floats]) -> Floats:
        return np.concatenate(arrays)

    return Hold(
        pose=Pose(**{k: joined([getattr(p.pose, k) for p in parts]) for k in Pose.__dataclass_fields__}),
        lines=LineStates(
            **{k: joined([getattr(p.lines, k) for p in parts]) for k in LineStates.__dataclass_fields__}
        ),
        fenders=FenderStates(
            **{k: joined([getattr(p.fenders, k) for p in parts]) for k in FenderStates.__dataclass_fields__}
        ),
        reason=np.concatenate([part.reason for part in parts]),
    )
