"""Where the ship lies: surge, sway and yaw at which lines, fenders, wind and current give no net force.

Newton's method on n instants at once. What lines and fenders have stored is a potential, its second
derivative is the Newton matrix; where that is not positive definite (a lead that has swung round, a fender
that gives way) its negative directions are turned about, so that every step goes downhill. A step is
shortened until the pull along it no longer points back hard, and is never longer than a trust radius: slack
lines come taut without being jumped over. Wind and current follow the yaw found so far. A point at rest on a
crest is pushed off it.

Where nothing pushes (all lines slack, off the fenders, no wind) many places are at rest: a spring of
`TIE_BREAK` kN/m, a tenth of a newton a kilometre, draws her to her place, so the answer is the one
next to it and does not depend on where the search began.

An instant without an answer is NaN, with its `NoAnswer`.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.balance_forces import Forces, Mooring, forces_at
from alongside.mechanics.newton import TIE_BREAK, newton_step, off_the_crest
from alongside.mechanics.reasons import NoAnswer
from alongside.readings import Codes, Floats

RESIDUAL: Final = 1e-8
"""Of the largest single load: what is left when the balance is found."""
TRIED: Final = 1e-5
"""The same where a search tries many winds: the last step, taken without a look, leaves the square of it."""
LEAST_RESIDUAL_KN: Final = 2e-6
LAST_STEP_M: Final = 1e-4
TRUST_M: Final = 2.0
FARTHEST_M: Final = 50.0
FARTHEST_YAW: Final = 0.35
"""m and rad beyond which she is adrift rather than alongside."""
MOST_LOOKS: Final = 200
PATIENCE: Final = 30
"""Looks after which a step may no longer overshoot at all."""
TURNING_EVERY: Final = 8
"""Looks after which the change of wind and current with the yaw is found anew."""
NUDGE_M: Final = 0.01
ROWS_AT_ONCE: Final = 2048
EVERY: Final = 16
"""Of instants in order of time every so many are solved first, as a start for those between."""
_FLAT: Final = 1e-9
"""Of the largest: what moves by less moves with something else."""
WORTH_STARTING: Final = 1024
"""Instants below which that costs more than it saves."""


@dataclass(frozen=True, slots=True, eq=False)
class Balance:
    """(n,) surge, sway m, yaw rad, NaN where there is no answer; `reason` of `NoAnswer`; the largest single
    load and the residual force, kN (a moment divided by the mooring's radius); `looks` that were taken."""

    surge: Floats
    sway: Floats
    yaw: Floats
    reason: Codes
    largest: Floats
    residual: Floats
    looks: NDArray[np.intp]


def balance(
    mooring: Mooring, in_order: bool = False, start: Floats | None = None, left: float = RESIDUAL
) -> Balance:
    """Return the balance of n instants, found when no more than `left` of the largest load is left over.

    `in_order` says that neighbouring rows are neighbours in time, so that some can start from others.
    `start` (3, n) surge, sway m and yaw rad to begin from; else she begins in place. The answer does not
    depend on it, unless buckling fenders give her more than one.
    Rows whose geometry or load is not known (NaN) come back NaN with reason ANSWERED left to the caller.
    """
    n = len(mooring)
    begin = np.zeros((3, n))
    if start is not None:
        begin += np.nan_to_num(start)
        begin[2] *= mooring.radius
    elif in_order and n >= WORTH_STARTING:
        begin = _started(mooring)
    found = _Found.of(n, left)
    for first in range(0, n, ROWS_AT_ONCE):
        rows = np.arange(first, min(first + ROWS_AT_ONCE, n))
        _solve(mooring.rows(rows) if rows.size < n else mooring, begin[:, rows], rows, found)
    pose = found.pose
    return Balance(
        pose[0], pose[1], pose[2] / mooring.radius, found.reason, found.largest, found.residual, found.looks
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """Answers as they come in, in the order of the instants; `left` of the largest load may be left over."""

    pose: Floats
    reason: Codes
    largest: Floats
    residual: Floats
    looks: NDArray[np.intp]
    left: float

    @classmethod
    def of(cls, n: int, left: float = RESIDUAL) -> "_Found":
        nan, looks = np.full(n, np.nan), np.zeros(n, dtype=np.intp)
        return cls(np.full((3, n), np.nan), np.zeros(n, dtype=np.int8), nan, nan.copy(), looks, left)


def _started(mooring: Mooring) -> Floats:
    """Return poses (3, n) about which all instants lie, from those of every so many: what in these follows
    in proportion from where her ends float and what leans on her, and the rest straight from one to the
    next."""
    n = len(mooring)
    some = np.unique(np.append(np.arange(0, n, EVERY), n - 1))
    found = _Found.of(some.size)
    _solve(mooring.rows(some), np.zeros((3, some.size)), np.arange(some.size), found)
    known = ~np.isnan(found.pose[0])
    if not known.any():
        return np.zeros((3, n))
    some, pose = some[known], found.pose[:, known]
    moved = _moves(mooring, some)
    fitted, off = moved[:, some], pose - pose.mean(axis=1, keepdims=True)
    # Least squares by sums in one order: a library that shares them out among threads rounds otherwise.
    squares, products = np.einsum("in,jn->ij", fitted, fitted), np.einsum("in,jn->ij", fitted, off)
    share, *_ = np.linalg.lstsq(squares, products, _FLAT)
    begin: Floats = np.einsum("ij,in->jn", share, moved)
    begin += np.array([np.interp(np.arange(n), some, rest) for rest in pose - begin[:, some]])
    return begin


def _moves(mooring: Mooring, some: NDArray[np.intp]) -> Floats:
    """Return by how much what she lies by is off its mean of some instants, in parts of the largest that it
    is off there: how three fairleads stand above their bollards, how one stands out, and the loads in
    place; 0 where that is not known."""
    lines = len(mooring.rise_squared)
    rises = mooring.rise_squared[[0, lines // 2, -1]] if lines else mooring.rise_squared
    moves = np.concatenate((rises, mooring.to_port[:1], mooring.loads.at(np.zeros(len(mooring)))))
    moves = moves - moves[:, some].mean(axis=1, keepdims=True)
    most = np.abs(moves[:, some]).max(axis=1, keepdims=True)
    parts: Floats = np.nan_to_num(moves / np.where(most > 0.0, most, 1.0))
    return parts


@dataclass(slots=True, eq=False)
class _Search:
    """The instants still sought: which they are, where each stands, its forces there and the step to try."""

    mooring: Mooring
    rows: NDArray[np.intp]
    pose: Floats
    net: Floats
    stiffness: Floats
    turning: Floats
    largest: Floats
    trust: Floats
    step: Floats

    def keep(self, which: NDArray[np.bool_]) -> None:
        left = np.flatnonzero(which)
        self.mooring = self.mooring.rows(left)
        self.rows, self.largest, self.trust = self.rows[left], self.largest[left], self.trust[left]
        self.pose, self.net, self.step = self.pose[:, left], self.net[:, left], self.step[:, left]
        self.stiffness, self.turning = self.stiffness[:, left], self.turning[:, left]


def _solve(mooring: Mooring, begin: Floats, rows: NDArray[np.intp], found: _Found) -> None:
    """Solve one block and write the answers into their rows."""
    load = mooring.loads.at(begin[2] / mooring.radius).sum(axis=0)
    known = ~np.isnan(mooring.ahead.sum(axis=0) + mooring.rise_squared.sum(axis=0) + load)
    if not known.all():
        left = np.flatnonzero(known)
        mooring, begin, rows = mooring.rows(left), begin[:, left], rows[left]
    if not rows.size:
        return
    forces = _at(mooring, begin)
    trust = np.full(rows.size, TRUST_M)
    stood = forces.net, forces.stiffness, forces.turning, forces.largest
    s = _Search(mooring, rows, begin, *stood, trust, np.empty_like(begin))
    fresh = np.ones(rows.size, dtype=bool)
    for look in range(1, MOST_LOOKS + 1):
        going = _settle(s, fresh, look, found)
        if not s.rows.size:
            return
        fresh = _advance(s, fresh[going], look)
    found.reason[s.rows] = NoAnswer.NOT_BALANCED


def _at(mooring: Mooring, pose: Floats, turning: Floats | None = None) -> Forces:
    """Return the forces with the spring that breaks ties."""
    forces = forces_at(mooring, pose, turning)
    forces.net[:] -= TIE_BREAK * pose
    forces.stiffness[[0, 3, 5]] += TIE_BREAK
    if mooring.held_along:
        forces.net[0], forces.turning[0], forces.stiffness[0:3] = 0.0, 0.0, [[1.0], [0.0], [0.0]]
    return forces


def _settle(s: _Search, fresh: NDArray[np.bool_], look: int, found: _Found) -> NDArray[np.bool_]:
    """Take the next step from every pose that is new, and the instants that are done out of the search;
    return which are still sought."""
    step = newton_step(s.net, s.stiffness, s.turning, s.trust)
    residual = np.abs(s.net).max(axis=0)
    long = np.abs(step).max(axis=0)
    quiet = residual <= found.left * s.largest + LEAST_RESIDUAL_KN
    at_rest = fresh & quiet
    # At rest, with nothing left to gain: or her own place is nearer, but a line that comes taut bars the way.
    done = quiet & ((long <= LAST_STEP_M) | ~fresh)
    still = np.flatnonzero(at_rest)
    if still.size:
        crest = off_the_crest(s.stiffness[:, still], s.turning[:, still])
        falls = np.isfinite(crest[0])
        done[still[falls]] = False
        step[:, still[falls]] = NUDGE_M * crest[:, falls]
    adrift = (np.abs(s.pose[:2]).max(axis=0) > FARTHEST_M) | (
        np.abs(s.pose[2]) > FARTHEST_YAW * s.mooring.radius
    )
    s.step[:, fresh] = step[:, fresh]
    at = s.rows[done]
    # The last step is known and costs nothing: it leaves the square of what was left.
    found.pose[:, at] = s.pose[:, done] + np.where(long[done] <= LAST_STEP_M, step[:, done], 0.0)
    found.largest[at], found.residual[at], found.looks[at] = s.largest[done], residual[done], look
    found.reason[s.rows[adrift]] = NoAnswer.NOTHING_HOLDS
    left: NDArray[np.bool_] = ~(done | adrift)
    if not left.all():
        s.keep(left)
    return left


def _advance(s: _Search, fresh: NDArray[np.bool_], look: int) -> NDArray[np.bool_]:
    """Try the step of every instant; take it where it is good enough, shorten it where not; return which were
    taken."""
    turning = s.turning if look % TURNING_EVERY else None
    forces = _at(s.mooring, s.pose + s.step, turning)
    downhill = (s.net * s.step).sum(axis=0)
    ahead = (forces.net * s.step).sum(axis=0)
    overshoot = 0.5 if look < PATIENCE else 0.0
    tiny = np.abs(s.step).max(axis=0) < 1e-9
    nudged = downhill <= 0.0
    good: NDArray[np.bool_] = (ahead >= -overshoot * np.abs(downhill)) | tiny | nudged
    length = np.sqrt((s.step * s.step).sum(axis=0))
    reached = good & (ahead > 0.5 * downhill)
    s.trust = np.where(reached, np.maximum(s.trust, 2.0 * length), s.trust)
    shorter = np.clip(downhill / np.where(good, 1.0, downhill - ahead), 0.1, 0.5)
    s.pose[:, good] += s.step[:, good]
    s.net = np.where(good, forces.net, s.net)
    s.stiffness = np.where(good, forces.stiffness, s.stiffness)
    s.turning = np.where(good, forces.turning, s.turning)
    s.largest = np.where(good, forces.largest, s.largest)
    s.step = np.where(good, s.step, s.step * shorter)
    s.trust = np.where(good, s.trust, np.maximum(length * shorter, 1e-6))
    return good
