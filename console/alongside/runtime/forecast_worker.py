"""Keeps the forecast up to date beside a watch, in a thread of its own so that no cycle waits.

A new forecast is asked for every five minutes of log time, every few seconds while nothing is known of the
hours ahead yet, and at once when the length of a line has changed.
Until it is there the one before stands, without rounds that rested on other lengths.
"""

import threading
import time
from collections.abc import Callable
from dataclasses import replace
from queue import Empty, Queue
from typing import Final

import numpy as np

from alongside.alerts.rule_model import NextLimits
from alongside.cycle.advance import Block, Memory
from alongside.cycle.gauge_samples import heard_in, present_at
from alongside.cycle.picture import History
from alongside.forecast.basis import Basis
from alongside.forecast.look_ahead import look_ahead
from alongside.forecast.model import Forecast, Tending
from alongside.forecast.next_limit import next_limits_of
from alongside.forecast.present import Present
from alongside.readings import Floats
from alongside.record.faultlog import keep_trace

EVERY_S: Final = 300.0
REST_S: Final = 5.0
"""Least time on the clock from one asked by the passing of log time to the next: a fast replay shows an older
forecast rather than wait."""
ANEW: Final = "lines were tended since: rounds are planned anew"


class ForecastWorker:
    """Asks for forecasts and hands out the newest. All but the work itself belongs to the caller's thread."""

    def __init__(self, basis: Basis, monotonic: Callable[[], float] = time.monotonic) -> None:
        self.forecast: Forecast | None = None
        self.next_limits: NextLimits = None
        self.failed = ""
        """Where the trace of the fault that stopped the last forecast is kept; "" while all is well."""
        self._basis = basis
        self._monotonic = monotonic
        self._asked: Queue[Present] = Queue(maxsize=1)
        self._found: Queue[tuple[Present, Forecast | None, str]] = Queue()
        self._worker: threading.Thread | None = None
        self._busy = False
        self._last: tuple[float, Floats] = (-np.inf, np.empty(0))
        """Time and lengths of the newest one asked for."""
        self._lengths_found: Floats = np.empty(0)
        self._worked_at = -np.inf

    def look(self, block: Block, memory: Memory, history: History) -> Forecast | None:
        """Return the newest forecast as it serves the last instant of a block; ask for one where due."""
        self._take_found()
        now, lengths = float(block.situation.time[-1]), memory.lengths.unstretched
        if self._basis.tide is None:
            return None
        if self._is_due(now, lengths) and not self._busy:
            self._ask(present_at(block, memory, heard_in(history, self._basis, memory, now)))
        if self.forecast is None or self.forecast.time > now:
            return None
        return self.forecast if self._serves(lengths) else _without_rounds(self.forecast)

    def wait(self, seconds: float) -> None:
        """Wait until nothing is being worked out, or for so long: for whoever has time."""
        until = self._monotonic() + seconds
        while self._busy and self._monotonic() < until:
            try:
                self._take(*self._found.get(timeout=max(until - self._monotonic(), 0.0)))
            except Empty:
                return

    def _is_due(self, now: float, lengths: Floats) -> bool:
        before, with_lengths = self._last
        if not np.array_equal(with_lengths, lengths, equal_nan=True) or now < before:
            return True
        rested = self._monotonic() - self._worked_at >= REST_S
        unknown = self.forecast is None or bool(self.forecast.reason)
        return rested and (unknown or now >= before + EVERY_S)

    def _serves(self, lengths: Floats) -> bool:
        return np.array_equal(self._lengths_found, lengths, equal_nan=True)

    def _ask(self, present: Present) -> None:
        self._last, self._busy = (present.time, present.unstretched), True
        self._worked_at = self._monotonic()
        if self._worker is None:
            self._worker = threading.Thread(target=self._work, name="forecast", daemon=True)
            self._worker.start()
        self._asked.put(present)

    def _work(self) -> None:
        while True:
            present = self._asked.get()
            try:
                self._found.put((present, look_ahead(self._basis, present), ""))
            except Exception:  # guards the thread: a forecast that fails is told, the watch goes on without
                self._found.put((present, None, str(keep_trace())))

    def _take_found(self) -> None:
        try:
            while True:
                self._take(*self._found.get_nowait())
        except Empty:
            return

    def _take(self, present: Present, forecast: Forecast | None, failed: str) -> None:
        self._busy, self.failed = False, failed
        self.forecast = forecast
        self._lengths_found = present.unstretched
        self.next_limits = None if forecast is None else next_limits_of(forecast)


def _without_rounds(forecast: Forecast) -> Forecast:
    within = forecast.tending.within
    return replace(forecast, tending=Tending(within=within, pending=True), notes=(*forecast.notes, ANEW))
