"""Keeps the forecast up to date beside a watch, in a thread of its own so that no cycle waits.

A live watch asks for a new one every five minutes, every few seconds while nothing is known of the hours
ahead yet, once a wind is heard that was not, and at once when the length of a line or the forecast of the
wind has changed. A replay asks from the instants from which its cycle looks ahead
(`alongside.cycle.with_forecast`), so that page and caution rest on the same answer. Until the new one is
there the one before stands, without rounds that rested on other lengths. So does what is to be decided by
when, marked as older than the last deed, also where the gear or the plan is another one since.
"""

import time
from collections.abc import Callable
from dataclasses import replace
from typing import Final

import numpy as np

from alongside.alerts.rule_model import NextLimits
from alongside.cycle.block import Block
from alongside.cycle.gauge_samples import present_at, samples_of, without_gauge
from alongside.cycle.memory import Memory
from alongside.cycle.picture import History
from alongside.cycle.with_forecast import same_lengths
from alongside.forecast.basis import Basis
from alongside.forecast.decide_by import decide_by
from alongside.forecast.decided import Decisions
from alongside.forecast.expected.wind_forecast import WindForecast
from alongside.forecast.look_ahead import look_ahead
from alongside.forecast.model import Forecast, Tending
from alongside.forecast.next_limit import next_limits_of
from alongside.forecast.present import Present
from alongside.forecast.transfer import TransferSaid
from alongside.readings import Floats
from alongside.runtime.one_question import OneQuestion

EVERY_S: Final = 300.0
REST_S: Final = 5.0
"""Least time on the clock from one asked by the passing of log time to the next: a fast replay shows an older
forecast rather than wait."""
ANEW: Final = "lines were tended: rounds are being planned anew"


Looked = tuple[Forecast, Decisions | None]


class ForecastWorker:
    """Asks for forecasts and hands out the newest. All but the work itself belongs to the caller's thread."""

    def __init__(
        self,
        basis: Basis,
        monotonic: Callable[[], float] = time.monotonic,
        before: "ForecastWorker | None" = None,
    ) -> None:
        """`before` is the worker of the plan before: what is due, which limits come, and for the page
        what the hours ahead were, stands as it found it until this one has."""
        self.forecast: Forecast | None = None
        self.older: Forecast | None = None if before is None else before.forecast or before.older
        """What was worked out for the plan before, until the first answer for this one."""
        self.next_limits: NextLimits = None if before is None else before.next_limits
        self.decisions: Decisions | None = None if before is None else _older(before.decisions)
        self._basis = basis
        self._monotonic = monotonic
        self._looking = OneQuestion[Present, Looked]("forecast", self._looked, self._take, monotonic)
        self._last: tuple[float, Floats, tuple[str, ...]] = (-np.inf, np.empty(0), ())
        """Time, lengths and brakes in question of the newest one asked for."""
        self._last_entered: tuple[WindForecast, TransferSaid | None] = ((), None)
        self._answered_lengths: Floats = np.empty(0)
        self._answered_entered: tuple[WindForecast, TransferSaid | None] = ((), None)
        self._worked_at = -np.inf
        self._blind = False
        """Whether the newest one asked for had no wind that was measured."""

    @property
    def failed(self) -> str:
        """Return where the trace of the fault of the last forecast is kept; "" while all is well."""
        return self._looking.failed

    def look(self, block: Block, memory: Memory, history: History) -> Forecast | None:
        """Return the newest forecast as it serves the last instant of a block; ask for one where due."""
        self._looking.take_answers()
        now, lengths = float(block.situation.time[-1]), memory.lengths.unstretched
        asked = memory.lengths.brakes.asked
        if self._basis.tide is None and self._basis.stay.decide is None:
            return None
        blown_otherwise = (memory.wind_forecast, memory.decided.transfer) != self._last_entered
        if not self._looking.busy and (
            blown_otherwise or self._is_due(now, lengths, asked, _asked_at(memory), _knows_wind(block))
        ):
            self._last_entered = memory.wind_forecast, memory.decided.transfer
            self._ask(replace(self._present(block, memory, history), asked=asked))
        entered_since = (memory.wind_forecast, memory.decided.transfer) != self._answered_entered
        if entered_since or not same_lengths(self._answered_lengths, lengths):
            self.decisions = _older(self.decisions)
        if self.forecast is None or self.forecast.time > now:
            return None
        if not same_lengths(self._answered_lengths, lengths):
            return _without_rounds(self.forecast)
        return replace(self.forecast, tending=self.forecast.tending.waiting_for(asked))

    def wait(self, seconds: float) -> None:
        """Wait until nothing is being worked out, or for so long: for whoever has time."""
        self._looking.wait(seconds)

    def _present(self, block: Block, memory: Memory, history: History) -> Present:
        """Return the instant from which the cycle looked ahead last, else the one at hand."""
        if _asked_at(memory) is not None and memory.foresight is not None and memory.foresight.present:
            return memory.foresight.present
        now = float(block.situation.time[-1])
        breadth = self._basis.stay.ship.breadth
        samples = samples_of(history, breadth, memory, now, without_gauge(block.readings))
        return present_at(block, memory, samples, self._basis.stay)

    def _is_due(
        self, now: float, lengths: Floats, asked: tuple[str, ...], asked_at: float | None, windy: bool
    ) -> bool:
        """`windy`: the wind is known by now."""
        before, with_lengths, with_asked = self._last
        if not same_lengths(with_lengths, lengths) or asked != with_asked or now < before:
            return True
        rested = self._monotonic() - self._worked_at >= REST_S
        if asked_at is not None:
            return rested and asked_at != before
        unknown = self.forecast is None or bool(self.forecast.reason) or (self._blind and windy)
        return rested and (unknown or now >= before + EVERY_S)

    def _ask(self, present: Present) -> None:
        self._last = present.time, present.unstretched, present.asked
        self._blind = bool(np.isnan(present.wind_speed + present.wind_from))
        self._worked_at = self._monotonic()
        self._looking.ask(present)

    def _looked(self, present: Present) -> Looked:
        return look_ahead(self._basis, present), decide_by(self._basis, present)

    def _take(self, present: Present, looked: Looked | None) -> None:
        forecast, self.decisions = (None, None) if looked is None else looked
        self.forecast, self.older = forecast, None
        self._answered_lengths, self._answered_entered = present.unstretched, self._last_entered
        self.next_limits = None if forecast is None else next_limits_of(forecast)


def _knows_wind(block: Block) -> bool:
    here = block.situation
    return not np.isnan(here.wind_speed[-1] + here.wind_from[-1])


def _asked_at(memory: Memory) -> float | None:
    """Return when the cycle looked ahead last; None where it does not, or a length has changed since then
    without an action."""
    asked = memory.foresight.asked if memory.foresight is not None else None
    if asked is None or not same_lengths(asked.unstretched, memory.lengths.unstretched):
        return None
    return asked.time


def _older(decisions: Decisions | None) -> Decisions | None:
    return None if decisions is None else replace(decisions, before_deed=True)


def _without_rounds(forecast: Forecast) -> Forecast:
    within = forecast.tending.within
    return replace(forecast, tending=Tending(within=within, pending=True), notes=(*forecast.notes, ANEW))
