"""How many lines a feed sends, and whether that is far above its habit.

Lines are counted in spans of ten seconds that begin at full tens, so that pieces of any size give the same.
The habit is the mean of the spans in which anything came; what is far above it becomes the habit within
an hour, not within minutes.
"""

from dataclasses import dataclass, field
from math import inf
from typing import Final, NamedTuple

from alongside.feeds.inbox import MOST_LINES
from alongside.readings import FarAboveHabit, Habit

SPAN_S: Final = 10.0
REMEMBERED_S: Final = 600.0
"""The habit is handed on as it was at the last full ten minutes: what is put on record changes seldom."""
FEWEST: Final = 6
"""Spans from which on a habit is known: a minute."""
SLOWEST: Final = 2160
"""Spans over which the mean is taken at most: six hours. While a feed is far above its habit, always."""
TIMES: Final = 5.0
MORE_PER_S: Final = 2.0
"""Far above is more than so many times the habit, and by more than so many lines a second. No source."""
ALWAYS_PER_S: Final = 0.9 * MOST_LINES
"""From here on a feed is about to lose lines, whatever its habit."""


class _At(NamedTuple):
    """The habit at the end of a span."""

    end: float
    per_s: float
    spans: int
    far: FarAboveHabit | None


_NOTHING: Final = _At(-inf, 0.0, 0, None)


@dataclass(slots=True)
class Pace:
    """The habit of one feed."""

    feed: str
    _known: _At = _NOTHING
    """What is remembered."""
    _later: list[_At] = field(default_factory=list)
    """The ends of the spans since then."""
    _span: int = -1
    _count: int = 0
    _counted_from: int = -1

    def count(self, span: int, lines: int = 1) -> None:
        """Count lines of a span; spans never fall."""
        if span != self._span:
            if span < self._counted_from:
                return
            self._close()
            self._span = span
        self._count += lines

    def _close(self) -> None:
        """End the span at hand."""
        if self._count:
            before = self._later[-1] if self._later else self._known
            self._later.append(_after(self.feed, before, self._count / SPAN_S, (self._span + 1) * SPAN_S))
            self._count = 0

    def go_on(self, habit: Habit, until: float) -> None:
        """Take over the habit that was known at a time, from an earlier run."""
        mark = _mark(until)
        self._known = _At(mark, habit.per_s, habit.spans, habit.far)
        self._counted_from = int(mark // SPAN_S)

    def habit(self, time: float) -> Habit:
        """Return the habit to be remembered at a time, which is not before the last one asked for."""
        past = [each for each in self._later if each.end <= _mark(time)]
        if past:
            self._known, self._later = past[-1], self._later[len(past) :]
        return Habit(self.feed, self._known.per_s, self._known.spans, self._known.far)

    def cautions(self, begin: float, time: float) -> list[FarAboveHabit]:
        """Return when it was far above its habit, from `begin` to a time."""
        if time >= (self._span + 1) * SPAN_S:
            self._close()
        every = [self._known, *(each for each in self._later if each.end <= time)]
        return [each.far for each in every if each.far is not None and each.far.until > begin]


def _mark(time: float) -> float:
    return time // REMEMBERED_S * REMEMBERED_S


def _after(feed: str, before: _At, per_s: float, end: float) -> _At:
    """Return the habit after one more span."""
    known = before.spans >= FEWEST
    far = known and per_s > TIMES * before.per_s and per_s > before.per_s + MORE_PER_S
    weight = 1.0 / (SLOWEST if far else min(before.spans + 1, SLOWEST))
    caution: FarAboveHabit | None = None
    if far or per_s >= ALWAYS_PER_S:
        caution = FarAboveHabit(feed, per_s, before.per_s if known else None, end, end + SPAN_S)
    return _At(end, before.per_s + (per_s - before.per_s) * weight, before.spans + 1, caution)
