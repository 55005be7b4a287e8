"""Making fast where the ship settles: the stated tension is what each line carries as she then lies.

Made fast together, with tensions T0, she lies at surge 0 with sway and yaw at which the fenders carry the
pull of all these T0 across the berth and in yaw; lines already fast pull by their lengths. What the T0 leave
over along the berth the fenders do not carry: it is taken by the balance that follows. A line made fast later
has its T0 in the balance of that instant, wind and current included. Each gets the main rope with which its
path there carries its T0.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.balance import balance
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.fenders import push, side_distance
from alongside.mechanics.flow import Loads
from alongside.mechanics.geometry import leads_of
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.mooring import mooring_of
from alongside.mechanics.pose import in_place
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Pose
from alongside.mechanics.tension import Tensions, tensions_of_sets
from alongside.readings import Floats
from alongside.stay.making_fast import MakingFast
from alongside.stay.model import Stay


@dataclass(frozen=True, slots=True, eq=False)
class SettledLengths:
    """(lines,) unstretched main rope, m, of the lines made fast, NaN for all others and where no length of
    rope carries the tension; the pose (1,) at which that is so; and whether the ship settles there: else she
    is in place."""

    unstretched: Floats
    pose: Pose
    settles: bool


@dataclass(frozen=True, slots=True, eq=False)
class SettledSets:
    """The same of s sets of lines at one instant: (s, lines) m, the pose (s,), and (s,) whether she settles
    there."""

    unstretched: Floats
    pose: Pose
    settles: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class SetTensions:
    """Tensions of lines of which some carry a set load, kN (lines, 1) or (lines, n), whatever their path; NaN
    for the others."""

    others: Tensions
    load_kn: Floats

    def __call__(self, path: Floats) -> tuple[Floats, Floats]:
        tension, stiffness = self.others(path)
        is_set = ~np.isnan(self.load_kn)
        return np.where(is_set, self.load_kn, tension), np.where(is_set, 0.0, stiffness)

    def rows(self, rows: NDArray[np.intp]) -> "SetTensions":
        load = self.load_kn if self.load_kn.shape[1] == 1 else self.load_kn[:, rows]
        return SetTensions(self.others.rows(rows), load)


def make_fast(
    stay: Stay,
    arrangement: Arrangement,
    making: MakingFast,
    situation: Situation,
    unstretched: Floats,
    lines: Iterable[int],
) -> SettledLengths:
    """Return the lengths of `lines`, by index those of the making fast that are made fast now. `situation` is
    that one instant: what the stay file states goes before it. `unstretched` (lines,) m of lines already
    fast, NaN for the others. What was learnt of a length since is in it."""
    load = np.full(len(arrangement.ids), np.nan)
    for index in lines:
        load[index] = stay.lines[index].made_fast.tension_kn
    afloat = replace(
        situation,
        tide=_or_read(making.tide, situation.tide),
        draught_fwd=_or_read(making.draught_fwd, situation.draught_fwd),
        draught_aft=_or_read(making.draught_aft, situation.draught_aft),
        heel_deg=_or_read(making.heel_deg, situation.heel_deg),
    )
    if making.lies == "on_fenders":
        made = settled_on_fenders(arrangement, afloat, unstretched, load)
    elif making.lies == "in_balance":
        made = settled_in_balance(arrangement, afloat, unstretched, load)
    else:
        made = made_fast_in_place(arrangement, afloat, load)
    more_m = np.array([0.0 if line.learnt is None else line.learnt.more_m for line in stay.lines])
    return replace(made, unstretched=made.unstretched + more_m) if more_m.any() else made


def _or_read(stated: float | None, read: Floats) -> Floats:
    return read if stated is None else np.array([stated])


def settled_on_fenders(
    arrangement: Arrangement, situation: Situation, unstretched: Floats, load_kn: Floats
) -> SettledLengths:
    """Return the lengths of lines made fast together with `load_kn` (lines,), NaN for those that are not
    among them; `unstretched` (lines,) m of lines already fast. `situation` is one instant; its wind and
    current do not count. Where fenders do not carry the pull she is in place."""
    still = Loads((), np.zeros((3, 1)), arrangement.exposure.arm, arrangement.exposure.head)
    return _settled(arrangement, situation, unstretched, load_kn, still, held_along=True)


def settled_in_balance(
    arrangement: Arrangement, situation: Situation, unstretched: Floats, load_kn: Floats
) -> SettledLengths:
    """Return the same for lines made fast later, in the balance of this one instant; in place where none is
    found."""
    loads, _ = loads_of(arrangement.exposure, situation)
    return _settled(arrangement, situation, unstretched, load_kn, loads, held_along=False)


def made_fast_in_place(arrangement: Arrangement, situation: Situation, load_kn: Floats) -> SettledLengths:
    """Return the same with the ship in place, surge = sway = yaw = 0, whatever pulls."""
    pose = in_place(situation)
    return SettledLengths(_lengths(arrangement, pose, load_kn[None, :])[0], pose, settles=False)


def left_along(arrangement: Arrangement, pose: Pose, load_kn: Floats) -> tuple[float, float]:
    """Return what loads (lines,) kN, NaN for none, leave over along the berth at one pose, kN, towards berth
    +x, and the sum of their pulls along, either way."""
    leads = leads_of(arrangement, pose)
    held = np.ravel(arrangement.far_ends.hold_her())
    along = np.nan_to_num(held * load_kn * leads.x[:, 0] / leads.outboard[:, 0])
    return float(along.sum()), float(np.abs(along).sum())


def _settled(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    load_kn: Floats,
    loads: Loads,
    held_along: bool,
) -> SettledLengths:
    sets = sets_settled(arrangement, situation, unstretched[None, :], load_kn[None, :], loads, held_along)
    return SettledLengths(sets.unstretched[0], sets.pose, bool(sets.settles[0]))


def sets_settled(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    load_kn: Floats,
    loads: Loads,
    held_along: bool,
) -> SettledSets:
    """Return the lengths of lines made fast in each of s sets of lines, at one instant, in `loads` of it;
    `unstretched` (s, lines) m of lines already fast, `load_kn` (s, lines) of those that are made fast now,
    NaN for all others. With `held_along` she is kept at surge 0, and fenders have to carry the pull."""
    every = np.zeros(len(load_kn), dtype=np.intp)
    pose = in_place(situation.at(every))
    made, load, settles = np.full(load_kn.shape, np.nan), load_kn.copy(), every > 0
    rows = np.flatnonzero(~np.isnan(load).all(axis=1))
    while rows.size:
        tensions = SetTensions(tensions_of_sets(arrangement, unstretched[rows]), load[rows].T)
        here = situation.at(every[rows])
        mooring = mooring_of(arrangement, arrangement.fenders, here, tensions, loads.rows(every[rows]))
        found = balance(replace(mooring, held_along=held_along))
        there = replace(in_place(here), surge=found.surge, sway=found.sway, yaw=found.yaw)
        is_found: NDArray[np.bool_] = (found.reason == NoAnswer.ANSWERED) & ~np.isnan(found.sway)
        if held_along:
            is_found &= _carried(arrangement, there)
        lengths = _lengths(arrangement, there, load[rows])
        impossible = np.isnan(lengths) & ~np.isnan(load[rows])
        good = is_found & ~impossible.any(axis=1)
        made[rows[good]], settles[rows[good]] = lengths[good], True
        for name in ("surge", "sway", "yaw"):
            getattr(pose, name)[rows[good]] = getattr(there, name)[good]
        # A line that cannot be made fast pulls nothing: without it she lies elsewhere.
        load[rows] = np.where(impossible, np.nan, load[rows])
        rows = rows[is_found & ~good]
        rows = rows[~np.isnan(load[rows]).all(axis=1)]
    if not settles.all():
        made[~settles] = _lengths(arrangement, _rows(pose, ~settles), load_kn[~settles])
    return SettledSets(made, pose, settles)


def _rows(pose: Pose, rows: NDArray[np.bool_]) -> Pose:
    return Pose(**{name: getattr(pose, name)[rows] for name in Pose.__dataclass_fields__})


def _carried(arrangement: Arrangement, pose: Pose) -> NDArray[np.bool_]:
    """Return whether any fender is pressed in at each of n poses."""
    x0, y0 = arrangement.berth_x + pose.surge, arrangement.breadth / 2.0 + pose.sway
    side = side_distance(arrangement.fenders, arrangement.breadth, x0, y0, pose.yaw)
    return np.asarray((push(arrangement.fenders, side).reaction > 0.0).any(axis=0))


def _lengths(arrangement: Arrangement, pose: Pose, load_kn: Floats) -> Floats:
    """Return the main rope (n, lines) m that carries loads (n, lines) at n poses; NaN for no load."""
    made: Floats = unstretched_for(arrangement, pose, np.nan_to_num(load_kn))
    return np.where(np.isnan(load_kn), np.nan, made)
