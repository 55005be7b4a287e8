"""Rounds begun before the ship leaves her fenders or her place, where that keeps her there.

Bands of lengths know of lines only: a breast may be long enough for an hour while she already leaves her
fenders. So the state with the plan is looked through: where she is off before the next round is done, lengths
up to then are taken to serve no farther, and the rounds are planned anew.
"""

from typing import Final

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.rounds.bands_ready import Barrier
from alongside.forecast.rounds.plan import Plan
from alongside.forecast.tending_job import Job, Tried
from alongside.mechanics.hold import standing_off
from alongside.mechanics.state import Hold
from alongside.readings import Floats
from alongside.stay.gear import RANGES
from alongside.stay.stage import Stage

MOST_BARRIERS: Final = 3


def before_she_is_off(basis: Basis, job: Job, best: Tried) -> Tried:
    """Return the plan with rounds early enough to keep her on her fenders and in her place, as expected; the
    same plan where no earlier round does. The stage is that which lines are kept short of."""
    barriers: list[Barrier] = []
    time = job.expected.time
    for _ in range(MOST_BARRIERS):
        at = _off_before_a_round(_off(basis, best.run.as_expected()), best.plan, time)
        if at is None:
            break
        done = [each.latest for each in best.plan.rounds if each.latest + each.duration_s <= time[at]]
        barriers.append(Barrier(done[-1] if done else -np.inf, float(time[at])))
        tried = job.until_it_holds(best.ends, barriers)
        then = _off(basis, tried.run.as_expected())
        if tried.missing > best.missing or then[: at + 1].any():
            break
        best = tried
    return best


def _off_before_a_round(off: np.ndarray, plan: Plan, time: Floats) -> int | None:
    """Return the first sample at which she is off while a round is still to be done; None where there is
    none, or she is off now."""
    at = int(np.argmax(off))
    if not off[at] or at == 0:
        return None
    to_come = any(each.latest + each.duration_s > time[at] for each in plan.rounds)
    return at if to_come else None


def _off(basis: Basis, held: Hold) -> np.ndarray:
    """Return (m,) whether she is off her fenders or her place, as expected."""
    stage = Stage[basis.stay.outlook.keep_within.upper()]
    off = np.zeros(held.reason.size, dtype=bool)
    for rule in basis.rules:
        limit = rule.limits[stage - 1]
        if rule.cause == "off_fenders":
            off |= standing_off(basis.arrangement, held.pose) >= limit
        elif rule.cause == "drift" and rule.subject not in RANGES:
            off |= np.abs(getattr(held.pose, rule.subject)) >= limit
    return off
