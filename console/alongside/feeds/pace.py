"""How many lines a feed sends, and whether that is far above its habit.

Lines are counted in spans of ten seconds that begin at full tens, so that pieces of any size give the same.
The habit is the mean of the spans in which anything came; what is far above it becomes the habit within
an hour, not within minutes.
"""

from dataclasses import dataclass, field, replace
from typing import Final

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


@dataclass(slots=True)
class Pace:
    """The habit of one feed."""

    feed: str
    _habit: Habit = field(init=False)
    _span: int = -1
    _count: int = 0
    _counted_from: int = -1
    _later: list[tuple[float, Habit]] = field(default_factory=list)
    """Habits at the ends of the spans since the one that is remembered."""

    def __post_init__(self) -> None:
        self._habit = Habit(self.feed)

    def count(self, span: int, lines: int = 1) -> None:
        """Count lines of a span; spans never fall."""
        if span < self._counted_from:
            return
        if span != self._span:
            self._close(span)
            self._span, self._count = span, 0
        self._count += lines

    def _close(self, span: int) -> None:
        """End the span at hand, since one begins that is later."""
        if not self._count:
            return
        before = self._later[-1][1] if self._later else self._habit
        end = (self._span + 1) * SPAN_S
        self._later.append((end, _after(before, self._count / SPAN_S, end)))
        self._count = 0

    def go_on(self, habit: Habit, until: float) -> None:
        """Take over the habit that was known at a time, from an earlier run."""
        self._habit, self._counted_from = habit, int(_mark(until) // SPAN_S)

    def habit(self, time: float) -> Habit:
        """Return the habit to be remembered at a time, which is not before the last one asked for."""
        past = [habit for end, habit in self._later if end <= _mark(time)]
        if past:
            self._habit, self._later = past[-1], self._later[len(past) :]
        return self._habit

    def cautions(self, begin: float, time: float) -> list[FarAboveHabit]:
        """Return when it was far above its habit, from `begin` to a time."""
        if time >= (self._span + 1) * SPAN_S:
            self._close(self._span + 1)
        habits = [self._habit, *(habit for end, habit in self._later if end <= time)]
        return [habit.far for habit in habits if habit.far is not None and habit.far.until > begin]


def _mark(time: float) -> float:
    return time // REMEMBERED_S * REMEMBERED_S


def _after(habit: Habit, per_s: float, end: float) -> Habit:
    """Return the habit after one more span."""
    known = habit.spans >= FEWEST
    far = known and per_s > TIMES * habit.per_s and per_s > habit.per_s + MORE_PER_S
    weight = 1.0 / (SLOWEST if far else min(habit.spans + 1, SLOWEST))
    caution: FarAboveHabit | None = None
    if far or per_s >= ALWAYS_PER_S:
        caution = FarAboveHabit(habit.feed, per_s, habit.per_s if known else None, end, end + SPAN_S)
    mean = habit.per_s + (per_s - habit.per_s) * weight
    return replace(habit, per_s=mean, spans=habit.spans + 1, far=caution)
