"""What the set can hold, for showing: worked out anew now and then, since it takes longer than a cycle."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Final

import numpy as np

from alongside.cycle.holding_words import holding_sentence
from alongside.forecast.basis import Basis
from alongside.mechanics.hold import why_unknown
from alongside.mechanics.holding import HoldingPower, holding_power
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.situation import Situation
from alongside.mechanics.usage import Criteria
from alongside.readings import Floats
from alongside.wording.times import zone_of

ANEW_S: Final = 60.0
"""Log time after which it is worked out anew; at once when a line was tended."""
REST_S: Final = 5.0
"""Least time on the clock between two, so that a fast replay is not slowed by it."""
MORE_TIDE_M: Final = 2.0
AHEAD_S: Final = 6.5 * 3600.0
"""Half a tide and a little."""
LEAST_CHANGE_M: Final = 0.3


class Strength:
    """Remembers the last holding power and its sentence."""

    def __init__(self, basis: Basis, monotonic: Callable[[], float]) -> None:
        self._basis = basis
        self._monotonic = monotonic
        self._found: tuple[HoldingPower, str] | None = None
        self._lengths: Floats = np.empty(0)
        self._worked_at = -np.inf

    def at(
        self, situation: Situation, unstretched: Floats, tide_rate: float
    ) -> tuple[HoldingPower | None, str]:
        """Holding power at about this instant (one row) with these lengths (lines,), and its sentence;
        `tide_rate` m/h says which way the tide goes. (None, "") where nothing is reckoned."""
        if not self._basis.watches_holding:
            return None, ""
        if self._found is None or self._is_old(situation, unstretched):
            self._found = strength(self._basis, situation, unstretched, self._basis.criteria, tide_rate)
            self._lengths = unstretched
            self._worked_at = self._monotonic()
        return self._found

    def _is_old(self, situation: Situation, unstretched: Floats) -> bool:
        """Also where what could not be known then can be now, and the other way round: to say that costs
        nothing, and a number that rests on a lost gauge must not stand."""
        assert self._found is not None
        if not np.array_equal(self._lengths, unstretched, equal_nan=True):
            return True
        known = int(why_unknown(situation)[0]) == NoAnswer.ANSWERED
        if known == bool(self._found[0].reason):
            return True
        aged = abs(float(situation.time[0]) - self._found[0].time) >= ANEW_S
        return aged and self._monotonic() - self._worked_at >= REST_S


def strength(
    basis: Basis, situation: Situation, unstretched: Floats, criteria: Criteria, tide_rate: float = 0.0
) -> tuple[HoldingPower, str]:
    """Holding power at one instant, and the weak spot in a sentence with what the tide to come changes."""
    arrangement, unit = basis.arrangement, basis.stay.display.speed
    power = holding_power(arrangement, situation, unstretched, criteria)
    change, words = _tide_to_come(basis, float(situation.time[0]), tide_rate)
    if power.reason or abs(change) < LEAST_CHANGE_M:
        return power, holding_sentence(power, unit=unit)
    then = holding_power(arrangement, replace(situation, tide=situation.tide + change), unstretched, criteria)
    return power, holding_sentence(power, then, words, unit)


def _tide_to_come(basis: Basis, now: float, tide_rate: float) -> tuple[float, str]:
    """Metres by which the tide will have changed most within the next hours by the tide table, and in words;
    without a table, two metres on the way that it goes."""
    ahead = now + np.arange(0.0, AHEAD_S + 1.0, 600.0)
    change = np.zeros(1) if basis.tide is None else basis.tide.at(ahead) - basis.tide.at(ahead[:1])
    if basis.tide is None or np.isnan(change).all():
        less = tide_rate < 0.0
        words = "two metres less of tide" if less else "two more metres of tide"
        return (-MORE_TIDE_M if less else MORE_TIDE_M), words
    most = int(np.nanargmax(np.abs(change)))
    by = datetime.fromtimestamp(float(ahead[most]), zone_of(basis.stay.display))
    way = "more" if change[most] > 0.0 else "less"
    return float(change[most]), f"{abs(change[most]):.1f} m {way} of tide by {by:%H:%M}"
