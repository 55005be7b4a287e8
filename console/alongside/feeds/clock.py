"""The time of a recorded log, line by line: which times to believe.

Times of several sources interleave, clocks get set, bits flip. So:

* a line without a time has that of the last one before it; none before: not used (`no time`);
* a time that is not of 1990 to 2099 is none: the line is not used (`time not of 1990 to 2099`);
* up to 10 s back: the newest time seen counts;
* further back: the line is not used (`time runs back`);
* more than 60 s forward: a leap. The lines from it on are a spell, which counts when time is seen to pass in
  it: a line comes with a time 10 s or more after its first, in steps of an hour at most, the next timed line
  stands by that one, and none before them falls more than 10 s behind the first. Lines of one burst never
  confirm each other. A spell that a line falls back behind is not used at all (`time leaps`), nor is one
  that the log ends in before the 10 s. A leap that counts is reported as a gap. The first time of a log
  begins a spell as well, but the log may end in that one.
"""

from dataclasses import dataclass, field
from typing import Final

import numpy as np

from alongside.feeds.flaws import Flaw, Tally
from alongside.feeds.sentence import NAN
from alongside.readings import Floats
from alongside.units import END_OF_TIME, is_time

BACK_S: Final = 10.0
LEAP_S: Final = 60.0
CONFIRM_S: Final = 10.0
"""So much time must pass in a spell before it counts. Ours: longer than any burst, and sentences come
once a second."""
STEP_S: Final = 3600.0
"""A longer step between two lines shows no time passing: a log of a line an hour is one, of fewer is none."""
MOST_UNDECIDED: Final = 250_000
"""Lines that wait for a decision: 10 s of more lines than any watch takes."""


@dataclass(frozen=True, slots=True)
class _Spell:
    """Lines from a leap up to, not including, the line at `end`; `passed`: time was seen to pass in it,
    `confirmed`: and the line after stood by it, `refuted`: the line at `end` fell back behind it."""

    end: int
    passed: bool = False
    confirmed: bool = False
    refuted: bool = False


@dataclass(frozen=True, slots=True)
class _Other:
    """What may be another spell, from the line at `place` on; NaN where there is none."""

    begin: float = NAN
    newest: float = NAN
    place: int = -1

    def with_line(self, time: float, place: int) -> "_Other":
        """Return it with one line more, or the one that this line begins."""
        if time <= self.newest + STEP_S:
            return _Other(self.begin, max(self.newest, time), self.place)
        return _Other(time, time, place)


@dataclass(slots=True)
class LogClock:
    """Remembers the newest time believed; counts lines not used, collects gaps."""

    newest: float = NAN
    faults: Tally = field(default_factory=Tally)
    gaps: list[tuple[float, float]] = field(default_factory=list)
    """(from, to) of every leap that counted."""
    in_steps: bool = False
    """Rows of an export may be minutes apart: its last row, an hour on at most, needs none after it."""
    _last_refused: bool = False

    def times(self, stated: Floats, end_of_log: bool) -> Floats:
        """Return times to use for lines in their order; `stated` is NaN for a line without one.

        NaN for a line not to be used. The answer is shorter than `stated` where the last lines hang on a
        leap that nothing has confirmed yet: hand these in again in front of what follows. At the end of
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
        if np.any(step < -BACK_S) or np.any(step > LEAP_S) or before[-1] >= END_OF_TIME:
            return None
        self.newest = float(before[-1])
        return before[1:]

    def _one_by_one(self, stated: Floats, decide: bool) -> Floats:
        times = stated.tolist()
        used: list[float] = []
        while len(used) < len(times):
            time = times[len(used)]
            if not is_time(time) or time <= self.newest + LEAP_S:
                used.append(self._within(time))
                continue
            spell = _spell(times, len(used))
            if not (spell.confirmed or spell.refuted or decide):
                break
            passed = spell.passed or (self.in_steps and time <= self.newest + STEP_S)
            may_end_here = not spell.refuted and (passed or self.newest != self.newest)
            if spell.confirmed or may_end_here:
                used.append(self._leap(time))
            else:
                used += [self._refused(each) for each in times[len(used) : spell.end]]
        return np.array(used)

    def _within(self, time: float) -> float:
        """Return the time to use for a line that does not leap."""
        if time != time:
            return self._without_time()
        if not is_time(time):
            return self._refused(time)
        self._last_refused = time < self.newest - BACK_S
        if self._last_refused:
            self.faults.count(Flaw.TIME_BACK)
            return NAN
        self.newest = max(self.newest, time)
        return self.newest

    def _without_time(self) -> float:
        if self._last_refused:
            self.faults.count(Flaw.TIME_BACK)
            return NAN
        if self.newest != self.newest:
            self.faults.count(Flaw.NO_TIME)
        return self.newest

    def _refused(self, time: float) -> float:
        """Return the time to use for a line of a spell that does not count, or whose time is none."""
        if time != time:
            return self._without_time()
        self._last_refused = False
        self.faults.count(Flaw.LEAP if is_time(time) else Flaw.WRONG_TIME)
        return NAN

    def _leap(self, time: float) -> float:
        self._last_refused = False
        if self.newest == self.newest:
            self.gaps.append((self.newest, time))
        self.newest = time
        return time


def _spell(times: list[float], at: int) -> _Spell:
    """Return the spell that begins with the leap at a place, as far as the lines at hand tell. A line more
    than STEP_S ahead of it may begin another one: when time is seen to pass in that, this one is over."""
    begin = newest = times[at]
    passed = NAN
    other = _Other()
    for place in range(at + 1, len(times)):
        time = times[place]
        if not is_time(time):
            continue
        if time < begin - BACK_S:
            return _Spell(place, refuted=True)
        if time >= passed - BACK_S:
            return _Spell(place, passed=True, confirmed=True)
        if time >= other.begin - BACK_S or time > newest + STEP_S:
            other = other.with_line(time, place)
            if other.newest >= other.begin + CONFIRM_S:
                return _Spell(other.place, refuted=True)
            continue
        other = _Other()  # the line fell back behind it
        newest = max(newest, time)
        passed = time if time >= begin + CONFIRM_S else NAN
    return _Spell(len(times), passed=passed == passed)
