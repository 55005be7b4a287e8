"""What it costs that a limit of wind agreed with the terminal is reached while what it calls for is not done:
cargo goes on, or arms or hoses are still connected."""

from collections.abc import Sequence
from copy import copy
from math import ceil
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.actions import SayTransfer
from alongside.forecast.transfer import operations_over_arms
from alongside.forecast.wind_limits import share_of
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.stay.model import DecideBy, Deed
from alongside.stay.stage import Stage
from alongside.stay.wind_means import GUST
from alongside.training.exercise.answers import cargo_rates
from alongside.training.exercise.cargo import as_it_goes
from alongside.training.exercise.course import MINUTE_S, SHIP_TIMES, WEIGHTS
from alongside.training.exercise.crew import Work
from alongside.training.exercise.model import Exercise

DEEDS: Final[tuple[Deed, ...]] = ("stop_cargo", "disconnect")
"""What is called for while cargo goes over arms or hoses, and an exercise knows whether it is done."""
Flags = NDArray[np.bool_]


class LimitsReached:
    """Adds up for how long limits are reached, block by block; nothing where the exercise shows none."""

    def __init__(self, exercise: Exercise) -> None:
        self._start, self._agreed = exercise.start, exercise.stay.decide
        minutes = 0 if self._agreed is None else ceil((exercise.end - exercise.start) / MINUTE_S) + 1
        self._reached = np.zeros((minutes, len(DEEDS)))
        """(m, 2) Share of each minute."""

    def copied(self) -> "LimitsReached":
        """Return a copy that adds up for itself."""
        other = copy(self)
        other._reached = self._reached.copy()
        return other

    def add(self, situation: Situation) -> None:
        """Add the cycles of a block, a second each."""
        if self._agreed is not None:
            minute = ((situation.time - self._start) // MINUTE_S).astype(np.intp)
            np.add.at(self._reached, minute, reached_by(self._agreed, situation) / MINUTE_S)

    def cost(self, exercise: Exercise, works: Sequence[Work]) -> Floats:
        """Return (m,) what each minute costs by these works in the exercise with all that was put into it."""
        return limits_cost(exercise, works, self._reached)


def reached_by(agreed: DecideBy, situation: Situation) -> Flags:
    """Return (n, 2) whether the wind that is measured reaches a limit that calls for each of `DEEDS`, with
    arms or hoses connected. Gusts are held against the highest of ten minutes; what is not known reaches
    nothing."""
    speed, come_from = situation.wind_speed, situation.wind_from[np.newaxis]
    reached = np.zeros((speed.size, len(DEEDS)), dtype=np.bool_)
    counts = np.ones(speed.size, dtype=np.bool_)
    for limit in agreed.with_transfer:
        if limit.do in DEEDS:
            wind = np.fmax(speed, situation.wind_gust * GUST) if limit.gust else speed
            share = share_of(limit, None, wind[np.newaxis], come_from, counts)[0]
            reached[:, DEEDS.index(limit.do)] |= share >= 1.0
    return reached


def limits_cost(exercise: Exercise, works: Sequence[Work], reached: Floats) -> Floats:
    """Return (m,) what each minute from the start on costs: as an alarm of the ship for each of `DEEDS` that
    is not done while its limit is reached, `reached` (m, 2) of the minute, 0 to 1."""
    if not reached.size:
        return np.zeros(0)
    time: Floats = exercise.start + MINUTE_S * np.arange(len(reached), dtype=np.float64)
    going, waits = _cargo(exercise, works, time)
    undone = np.stack([going, _connected(works, time, going, waits)], axis=1)
    cost: Floats = WEIGHTS[Stage.ALARM] * SHIP_TIMES * (reached * undone).sum(axis=1)
    return cost


def early_cost(exercise: Exercise, works: Sequence[Work], until: float, minutes: int) -> Floats:
    """Return (minutes,) what each minute from the start on costs, up to a UNIX time, in which cargo would go
    over arms or hoses and does not by order: as a warning of the ship."""
    time: Floats = exercise.start + MINUTE_S * np.arange(minutes, dtype=np.float64)
    would, goes = (_cargo(exercise, orders, time)[0] for orders in ((), works))
    idle: Flags = would & ~goes & (time + MINUTE_S <= until)
    return idle.astype(np.float64) * WEIGHTS[Stage.WARNING] * SHIP_TIMES


def _cargo(exercise: Exercise, works: Sequence[Work], time: Floats) -> tuple[Flags, Flags]:
    """Return (m,) whether anything goes over arms or hoses in the minute from `time` on, and whether the
    first of it has begun and not all of it is moved."""
    rates = cargo_rates(exercise, works)
    begun, going, waits = (np.zeros(time.size, dtype=np.bool_) for _ in range(3))
    for operation in operations_over_arms(exercise.stay):
        moved = as_it_goes(operation, rates)
        before, after = (np.abs(moved(at)) for at in (time, time + MINUTE_S))
        going |= after > before
        begun |= time >= operation.start
        waits |= before < abs(operation.tonnes)
    return going, begun & waits


def _connected(works: Sequence[Work], time: Floats, going: Flags, waits: Flags) -> Flags:
    """Return (m,) whether arms or hoses are connected at `time`: as was said last, by what was done, else
    while cargo goes or waits."""
    connected = waits.copy()
    said = [each for each in works if isinstance(each.order.action, SayTransfer) and not each.why_not]
    for each in sorted(said, key=lambda work: work.end):
        action = each.order.action
        assert isinstance(action, SayTransfer), "just chosen"
        later = time >= each.end
        connected[later] = True if action.connected else going[later]
    return connected
