"""What follows when the first thing gives: the wind that is held then, what gives next, and so on to the end.

A brake that gives leaves its line at the holding of the brake; a line beyond its working limit is taken as
gone; with a bollard all its lines are gone. Once she leaves her place by more than the drift limit, or
nothing gives up to the cap, the chain ends.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.holding import Chain, HoldingPower, Next, gives_first
from alongside.mechanics.holding_search import Winds, first_limits
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import tensions_of
from alongside.mechanics.usage import Criteria, Gives
from alongside.readings import Floats


@dataclass(frozen=True, slots=True)
class _Left:
    """What is left of the set: lines that are gone, and lines whose brake has slipped."""

    gone: frozenset[int] = frozenset()
    slipped: frozenset[int] = frozenset()

    def after(self, arrangement: Arrangement, gives: Gives, where: str | None) -> "_Left":
        """Return what is left once one more thing has given."""
        if gives == "brake":
            return replace(self, slipped=self.slipped | {arrangement.ids.index(where or "")})
        if gives == "bollard":
            bollard = arrangement.bollard_ids.index(where or "")
            lines = {int(line) for line in np.flatnonzero(arrangement.bears[bollard])}
        else:
            lines = {arrangement.ids.index(where or "")}
        return replace(self, gone=self.gone | lines)


def what_goes_next(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    power: HoldingPower,
    directions: Sequence[int],
    criteria: Criteria | None = None,
) -> tuple[Chain, ...]:
    """Return the chain of each of some directions of a holding power that was worked out for the same
    `situation` (one row), `unstretched` (lines,) and `criteria`. It is empty where nothing gives, or where
    she drifts beyond her limit first."""
    chains: dict[int, list[Next]] = {at: [] for at in directions}
    if power.reason:
        return tuple(() for _ in directions)
    going = {at: (_Left(), power.gives_first[at], power.where[at]) for at in chains}
    while going := {at: each for at, each in going.items() if each[1] not in (None, "drift")}:
        lefts = {
            at: left.after(arrangement, gives, where) for at, (left, gives, where) in going.items() if gives
        }
        for left in set(lefts.values()):
            here = [at for at in lefts if lefts[at] == left]
            found = _held_by(arrangement, situation, unstretched, power.from_deg[here], left, criteria)
            for at, step in zip(here, found, strict=True):
                chains[at].append(step)
                going[at] = left, step.gives, step.where
    return tuple(tuple(chains[at]) for at in directions)


def _held_by(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    come_from: Floats,
    left: _Left,
    criteria: Criteria | None,
) -> list[Next]:
    """What the rest of the set holds from each of some directions."""
    lengths, brakes, caps = unstretched.copy(), arrangement.brake_kn.copy(), None
    lengths[list(left.gone)] = np.nan
    if left.slipped:
        slipped = list(left.slipped)
        caps = np.full(brakes.size, np.nan)
        caps[slipped], brakes[slipped] = brakes[slipped], np.nan
    rows: NDArray[np.intp] = np.zeros(come_from.size, dtype=np.intp)
    winds = Winds(
        replace(arrangement, brake_kn=brakes),
        situation.at(rows),
        tensions_of(arrangement, lengths, caps),
        criteria or Criteria(),
        come_from,
    )
    bracket = first_limits(winds)
    gives, where = gives_first(arrangement, bracket)
    return [Next(*each) for each in zip(bracket.low.tolist(), gives, where, strict=True)]


def with_next(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    power: HoldingPower,
    weakest: int,
    criteria: Criteria | None = None,
) -> HoldingPower:
    """Return a holding power with what goes next from so many of its weakest directions."""
    if power.reason:
        return power
    directions = np.argsort(power.holds_ms, kind="stable")[:weakest].tolist()
    chains = what_goes_next(arrangement, situation, unstretched, power, directions, criteria)
    return replace(power, then=dict(zip(directions, chains, strict=True)))
