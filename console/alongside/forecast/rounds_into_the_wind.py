"""Tending that would only let the wind move the ship off: such rounds are not proposed.

Bands follow the ship: where lines are slackened in a wind off the berth she moves with them, and the next
slackening follows. A round after which she lies farther off the fenders or from her place, and in alarm, is
no cure; nor are those that follow it.
"""

from typing import Final

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import Expected
from alongside.forecast.model import Incurable, Tending
from alongside.forecast.present import Present
from alongside.forecast.tending_plan import Followed
from alongside.mechanics.hold import hold, standing_off
from alongside.mechanics.state import Hold
from alongside.readings import Floats

SLIP_M: Final = 0.25
"""So much farther off is worse. Common practice, no source."""


def without_slips(basis: Basis, present: Present, expected: Expected, held: Hold, plan: Followed) -> Followed:
    """Return the plan up to the first round that lets the ship move off; `held` is the state with the present
    lengths."""
    first = _first_slip(basis, expected, held, plan)
    if first is None:
        return plan
    tending, kept = plan.tending, plan.tending.rounds[:first]
    dropped = tending.rounds[first]
    end = float(expected.time[-1])
    wind = tuple(
        Incurable(move.line, dropped.latest, end, abs(move.pay_out_m), "wind") for move in dropped.moves
    )
    tending = Tending(
        rounds=kept,
        cannot_cure=(*(each for each in tending.cannot_cure if each.until < dropped.latest), *wind),
        within=tending.within,
        good_until=tending.good_until if kept else np.fmin(tending.good_until, dropped.latest),
        is_fewest=tending.is_fewest,
    )
    if not kept:
        return Followed(tending, np.broadcast_to(present.unstretched, plan.lengths.shape), held)
    lengths = plan.lengths.copy()
    after = expected.time >= dropped.latest
    lengths[after] = lengths[max(int(np.argmax(after)) - 1, 0)]
    situation = expected.situation()
    run = hold(basis.arrangement, situation, np.tile(lengths, (len(situation) // len(lengths), 1)))
    return Followed(tending, lengths, run)


def _first_slip(basis: Basis, expected: Expected, held: Hold, plan: Followed) -> int | None:
    """Return the first round that lets the ship move off, as expected; None where none does."""
    m = expected.time.size
    worse = np.zeros(m, dtype=bool)
    for rule in basis.rules:
        if rule.cause == "off_fenders":
            before, after = _off(basis, held, m), _off(basis, plan.run, m)
        elif rule.cause == "drift":
            before, after = (np.abs(getattr(each.pose, rule.subject)[:m]) for each in (held, plan.run))
        else:
            continue
        worse |= (after >= rule.limits[2]) & (after > before + SLIP_M)
    starts = [each.latest for each in plan.tending.rounds]
    for number, start in enumerate(starts):
        until = starts[number + 1] if number + 1 < len(starts) else np.inf
        if worse[(expected.time > start) & (expected.time <= until)].any():
            return number
    return None


def _off(basis: Basis, held: Hold, m: int) -> Floats:
    """Return metres off the fenders (m,) as expected."""
    off: Floats = standing_off(basis.arrangement, held.pose)[:m]
    return off
