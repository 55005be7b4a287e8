"""The time of a recorded log, line by line: which times to believe.

Times of several sources interleave, clocks get set, bits flip. So:

* a line without a time has that of the last one before it; none before: not used (`no time`);
* up to 10 s back: the newest time seen counts;
* further back: the line is not used (`time runs back`);
* a leap of more than 60 s forward counts once the next timed line does not fall back behind it; a single
  line that leaps is not used (`time leaps`). A leap that counts is reported as a gap. The very first time
  of a log has to be confirmed in the same way, but a log may consist of it.
"""

from dataclasses import dataclass, field
from typing import Final

import numpy as np

from alongside.feeds.flaws import Flaw, Tally
from alongside.feeds.sentence import NAN
from alongside.readings import Floats

BACK_S: Final = 10.0
LEAP_S: Final = 60.0
MOST_UNDECIDED: Final = 50_000


@dataclass(slots=True)
class LogClock:
    """Remembers the newest time believed; counts lines not used, collects gaps."""

    newest: float = NAN
    faults: Tally = field(default_factory=Tally)
    gaps: list[tuple[float, float]] = field(default_factory=list)
    """(from, to) of every leap that counted."""
    _last_refused: bool = False

    def times(self, stated: Floats, end_of_log: bool) -> Floats:
        """Return times to use for lines in their order; `stated` is NaN for a line without one.

        NaN for a line not to be used. The answer is shorter than `stated` where the last lines hang on a
        time that nothing has confirmed yet: hand these in again in front of what follows. At the end of
        the log, and after MOST_UNDECIDED lines, everything is decided.
        """
        plain = self._plain(stated)
        if plain is not None:
            return plain
        return self._one_by_one(stated, end_of_log or stated.size > MOST_UNDECIDED)

    def _plain(self, stated: Floats) -> Floats | None:
        """Return times in the common case, every step small, in one go; None in any other."""
        if self.newest != self.newest or self._last_refused or not stated.size:
            return None
        before = np.empty(stated.size + 1)
        before[0] = self.newest
        np.copyto(before[1:], stated)
        np.fmax.accumulate(before, out=before)
        step = stated - before[:-1]
        if np.any(step < -BACK_S) or np.any(step > LEAP_S):
            return None
        self.newest = float(before[-1])
        return before[1:]

    def _one_by_one(self, stated: Floats, decide: bool) -> Floats:
        timed = np.where(np.isnan(stated), stated.size, np.arange(stated.size))
        next_timed = np.append(np.minimum.accumulate(timed[::-1])[::-1], stated.size)
        times = stated.tolist()
        used: list[float] = []
        for at, time in enumerate(times):
            if time != time:
                used.append(self._without_time())
            elif self.newest == self.newest and time <= self.newest + LEAP_S:
                used.append(self._step(time))
            else:
                following = int(next_timed[at + 1])
                if following < stated.size:
                    used.append(self._leap(time, times[following] >= time - BACK_S))
                elif decide:
                    used.append(self._leap(time, self.newest != self.newest))
                else:
                    break
        return np.array(used)

    def _without_time(self) -> float:
        if self._last_refused:
            self.faults.count(Flaw.TIME_BACK)
            return NAN
        if self.newest != self.newest:
            self.faults.count(Flaw.NO_TIME)
        return self.newest

    def _step(self, time: float) -> float:
        self._last_refused = time < self.newest - BACK_S
        if self._last_refused:
            self.faults.count(Flaw.TIME_BACK)
            return NAN
        self.newest = max(self.newest, time)
        return self.newest

    def _leap(self, time: float, confirmed: bool) -> float:
        self._last_refused = False
        if not confirmed:
            self.faults.count(Flaw.LEAP)
            return NAN
        if self.newest == self.newest:
            self.gaps.append((self.newest, time))
        self.newest = time
        return time
