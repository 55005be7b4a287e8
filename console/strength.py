"""What the set can hold, for showing: worked out anew now and then, since it takes longer than a cycle."""

from collections.abc import Callable
from dataclasses import replace
from typing import Final

import numpy as np

from console.cycle import Plan
from console.mechanics.holding import Holding, holding_power
from console.mechanics.holding_words import holding_sentence
from console.mechanics.usage import Criteria
from console.readings import Floats
from console.situation import Situation

ANEW_S: Final = 60.0
"""Log time after which it is worked out anew; at once when a line was tended."""
REST_S: Final = 5.0
"""Least time on the clock between two, so that a fast replay is not slowed by it."""
MORE_TIDE_M: Final = 2.0


class Strength:
    """Remembers the last holding power and its sentence."""

    def __init__(self, plan: Plan, monotonic: Callable[[], float]) -> None:
        self._plan = plan
        self._monotonic = monotonic
        self._found: tuple[Holding, str] | None = None
        self._lengths: Floats = np.empty(0)
        self._worked_at = -np.inf

    def at(self, situation: Situation, unstretched: Floats, tide_rate: float) -> tuple[Holding | None, str]:
        """Holding power at about this instant (one row) with these lengths (lines,), and its sentence;
        `tide_rate` m/h says which way the tide goes. (None, "") where nothing is reckoned."""
        if not self._plan.watches_holding:
            return None, ""
        if self._found is None or self._is_old(float(situation.time[0]), unstretched):
            self._found = strength(self._plan, situation, unstretched, self._plan.criteria, tide_rate)
            self._lengths = unstretched
            self._worked_at = self._monotonic()
        return self._found

    def _is_old(self, now: float, unstretched: Floats) -> bool:
        assert self._found is not None
        if not np.array_equal(self._lengths, unstretched, equal_nan=True):
            return True
        aged = abs(now - self._found[0].time) >= ANEW_S
        return aged and self._monotonic() - self._worked_at >= REST_S


def strength(
    plan: Plan, situation: Situation, unstretched: Floats, criteria: Criteria, tide_rate: float = 0.0
) -> tuple[Holding, str]:
    """Holding power at one instant, and the weak spot in a sentence with what two metres of tide change."""
    arrangement = plan.arrangement
    power = holding_power(arrangement, situation, unstretched, criteria)
    change = -MORE_TIDE_M if tide_rate < 0.0 else MORE_TIDE_M
    words = "two metres less of tide" if change < 0.0 else "two more metres of tide"
    then = holding_power(arrangement, replace(situation, tide=situation.tide + change), unstretched, criteria)
    return power, holding_sentence(power, then, words, plan.stay.display.speed)
