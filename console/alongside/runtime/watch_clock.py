"""Time for the cycles of a live watch, from a wall clock that may be set and a steady one that cannot."""

import time
from collections.abc import Callable
from math import inf
from typing import Final

from alongside.alerts.model import Event
from alongside.stay.model import Display
from alongside.units import is_time
from alongside.wording.times import from_to, span

GAP_S: Final = 10.0
"""From so long between two cycles on it is a gap: the console was stopped, starved, or the machine slept."""
SET_S: Final = 5.0
"""A clock set back by more than this is reported. Less is what a time server does."""
LEAP_S: Final = 60.0
"""By more than this the clock is not followed at once; less is made up for at half pace."""
CONFIRM_S: Final = 60.0
"""A clock set forward by more than LEAP_S is followed when it has stood so long. Ours: time for whoever set
it wrong to see it and put it right, and nothing is lost by waiting."""


def steady_seconds() -> float:
    """Return seconds of a clock that nobody sets. It goes on while the machine sleeps, where the system has
    such a one (Linux, macOS); elsewhere sleep looks like a clock set forward."""
    if hasattr(time, "CLOCK_BOOTTIME"):
        return time.clock_gettime(time.CLOCK_BOOTTIME)
    if hasattr(time, "clock_gettime"):
        return time.clock_gettime(time.CLOCK_MONOTONIC)
    return time.monotonic()


class WatchClock:
    """Time for cycles: the wall clock, but never backwards, and never before `begins`.

    Alerts and records must not run backwards. With a wall clock set back by more than LEAP_S, time goes on
    from where it was, by the steady clock, and runs ahead; that ends once the wall clock is right again.
    One set forward by more than LEAP_S is followed when that has lasted CONFIRM_S; until then time goes on as
    if nothing had been. Up to LEAP_S forward it is followed at once, and LEAP_S back are made up for by going
    on at half pace. The event `gap` reports a clock that was set and a pause between two cycles.
    """

    def __init__(
        self,
        display: Display,
        wall: Callable[[], float] = time.time,
        steady: Callable[[], float] = steady_seconds,
        begins: float = -inf,
    ) -> None:
        self._display, self._wall_clock, self._steady_clock = display, wall, steady
        self._wall, self._steady = wall(), steady()
        self._before = self._last = max(self._wall, begins)
        self._leapt_at = inf
        self._running = False

    def now(self) -> float:
        """Return the time of the last cycle."""
        return self._last

    @property
    def ahead(self) -> float:
        """Return seconds by which time ran ahead of the wall clock at the last cycle; 0 where it did not."""
        return max(0.0, self._last - self._wall)

    def tick(self) -> tuple[float, list[Event]]:
        """Return the time of a new cycle, later than the last, and events of a pause or of a clock set. What
        was before the first cycle is none: a console takes its time to start."""
        wall, steady = self._wall_clock(), self._steady_clock()
        passed = max(0.0, steady - self._steady)
        set_by = wall - self._wall - passed
        self._wall, self._steady, self._before = wall, steady, self._last
        self._last = max(self._next(wall, passed), self._last + 0.001)
        news = self._news(passed, set_by) if self._running else []
        self._running = True
        return self._last, news

    def placed(self, wall: float) -> float:
        """Return the time by this clock of a line that came at `wall`, since the last cycle but one."""
        return min(max(wall + self._last - self._wall, self._before), self._last)

    def _next(self, wall: float, passed: float) -> float:
        """Return the time of the new cycle, `passed` s after the last."""
        run_on = self._last + passed
        leaps = wall > run_on + LEAP_S
        if not leaps:
            self._leapt_at = inf
        elif self._leapt_at == inf:
            self._leapt_at = self._steady
        confirmed = is_time(wall) and self._steady >= self._leapt_at + CONFIRM_S
        if wall < run_on - LEAP_S or (leaps and not confirmed):
            return run_on
        return max(wall, self._last + passed / 2.0)

    def _news(self, passed: float, set_by: float) -> list[Event]:
        step = self._last - self._before
        between = from_to(self._before, self._last, self._display)
        if passed >= GAP_S:
            text = f"no cycle for {span(passed)}, {between}: the console was stopped or the machine slept"
            return [Event(self._last, "gap", value=step, text=text)]
        if step >= GAP_S:
            text = f"the clock was set forward by {span(step - passed)}, {between}"
            return [Event(self._last, "gap", value=step, text=text)]
        if set_by < -SET_S and self.ahead > 0.0:
            text = f"the clock was set back by {span(set_by)}"
            return [Event(self._last, "gap", value=set_by, text=text)]
        return []
