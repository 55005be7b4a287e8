"""The whole set at n instants: the pose of the ship, her lines and her fenders.

She floats with tide, draughts and heel as they are measured. Where she lies along and off the berth follows
from the balance of lines, fenders, wind and current; with the balance off, or at a berth without fenders, she
is held in place, just touching.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.fenders import push, side_distance
from alongside.mechanics.lines import line_states
from alongside.mechanics.mooring import settled
from alongside.mechanics.pose import in_place
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import FenderStates, Hold, LineStates, Pose
from alongside.mechanics.tension import tensions_of
from alongside.readings import Codes, Floats


def hold(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    cap_kn: Floats | None = None,
    near: Pose | None = None,
) -> Hold:
    """Return how lines and fenders hold the ship at each instant of the situation; instants in order of time.

    `unstretched` main rope, m, (lines,) or (n, lines); NaN for a line not made fast, which then has no load
    while the others have theirs. An instant at which tide, a draught or a fitted heel is not known is NaN
    throughout, and `reason` says which; so is one without a balance. Wind or current that is not known is
    left out, and `without` says so. While no line at all is made fast she is taken to be in place.
    `cap_kn` (lines,) is the load at which a line renders, NaN where it does not: then the pose is the one
    with that load in the line, though the line's state still goes by its length. `near` (n,) is about where
    she lies, for the search of the balance to begin at; NaN where nobody knows.
    """
    pose = in_place(situation)
    reason = why_unknown(situation)
    if not arrangement.balanced:
        return Hold(pose, line_states(arrangement, pose, unstretched), untouched(arrangement, reason), reason)
    loads, without = loads_of(arrangement.exposure, situation)
    tensions = tensions_of(arrangement, unstretched, cap_kn)
    start = None if near is None else np.array([near.surge, near.sway, near.yaw])
    found, why = settled(arrangement, situation, tensions, loads, in_order=True, start=start)
    moored = np.broadcast_to((unstretched > 0.0).any(axis=-1), reason.shape)
    reason = np.where((reason == NoAnswer.ANSWERED) & moored, why, reason).astype(np.int8)
    pose = replace(
        pose,
        surge=np.where(moored, found.surge, pose.surge),
        sway=np.where(moored, found.sway, pose.sway),
        yaw=np.where(moored, found.yaw, pose.yaw),
    )
    lines = line_states(arrangement, pose, unstretched)
    return Hold(pose, lines, _fender_states(arrangement, pose), reason, without)


def standing_off(arrangement: Arrangement, pose: Pose) -> Floats:
    """Return the metres (n,) between the ship's side and the fender nearest to it; negative while a fender is
    pressed in, NaN where the pose is not known or the berth has no fenders."""
    if not arrangement.fender_x.size:
        return np.full(pose.surge.size, np.nan)
    x0, y0 = arrangement.berth_x + pose.surge, arrangement.breadth / 2.0 + pose.sway
    nearest: Floats = side_distance(arrangement.fenders, arrangement.breadth, x0, y0, pose.yaw).min(axis=0)
    return nearest


def _fender_states(arrangement: Arrangement, pose: Pose) -> FenderStates:
    row, breadth = arrangement.fenders, arrangement.breadth
    # A place half known is not known: without the tide or a draught the fenders are NaN as well.
    known = 0.0 * (pose.tide + pose.draught_fwd + pose.draught_aft + pose.heel_deg)
    x0, y0 = arrangement.berth_x + pose.surge, breadth / 2.0 + pose.sway + known
    side = side_distance(row, breadth, x0, y0, pose.yaw)
    return FenderStates(np.maximum(-side, 0.0).T, push(row, side).reaction.T)


def why_unknown(situation: Situation) -> Codes:
    """Return the `NoAnswer` (n,) for what the pose needs and is not known, the tide first."""
    lacking = [
        np.isnan(situation.tide),
        np.isnan(situation.draught_fwd) | np.isnan(situation.draught_aft),
        np.isnan(situation.heel_deg),
    ]
    codes = [NoAnswer.TIDE_UNKNOWN, NoAnswer.DRAUGHT_UNKNOWN, NoAnswer.HEEL_UNKNOWN]
    why = np.select(lacking, codes, NoAnswer.ANSWERED).astype(np.int8)
    if situation.below_zero is not None:
        why[(why == NoAnswer.DRAUGHT_UNKNOWN) & (situation.below_zero > 0)] = NoAnswer.NO_SUCH_DRAUGHT
    return why


def untouched(arrangement: Arrangement, reason: Codes) -> FenderStates:
    """Return the fenders of a ship in place: no deflection, no reaction; NaN where the instant has no
    answer."""
    nothing = np.where((reason == NoAnswer.ANSWERED)[:, None], np.zeros(arrangement.fender_x.size), np.nan)
    return FenderStates(nothing, nothing.copy())


def nothing_known(arrangement: Arrangement, situation: Situation) -> Hold:
    """Return NaN throughout, for instants whose calculation failed."""
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
    """Return several holds, one after the other in time, as one; at least one."""
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
        without=_joined_without(parts),
        no_length=None
        if all(part.no_length is None for part in parts)
        else np.concatenate([part.why_no_length() for part in parts]),
    )


def _joined_without(parts: Sequence[Hold]) -> Codes | None:
    if all(part.without is None for part in parts):
        return None
    known = [np.zeros_like(p.reason) if p.without is None else p.without for p in parts]
    return np.concatenate(known)
