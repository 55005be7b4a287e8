"""What each deed of a trainee changed: judged by the stay as it went beside the stay with nothing done."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from alongside.actions import (
    Action,
    AddLine,
    CallOut,
    ChangeCargo,
    LetTugGo,
    LineGone,
    MakeFast,
    PutTug,
    RenewLine,
    SetBrake,
    ShiftLine,
    TendLine,
)
from alongside.training.exercise.course import Course
from alongside.training.exercise.crew import Work

OF_ONE_LINE: Final = TendLine | SetBrake | ShiftLine | RenewLine
"""Judged by that line alone."""
OF_THE_SET: Final = AddLine | MakeFast | LineGone
"""Judged by ship and all lines: each carries for the others."""
OF_THE_SHIP: Final = PutTug | LetTugGo | ChangeCargo
JUDGED: Final = OF_ONE_LINE | OF_THE_SET | OF_THE_SHIP
ABOUT: Final = frozenset({"engineer", "terminal"})
"""Whom one calls about one thing, and again about another."""
LEAST: Final = 1.0
"""A minute of caution: less is no difference."""
Verdict = Literal["helped", "harmed", "no difference"]


@dataclass(frozen=True, slots=True)
class Judged:
    """A deed, and what ship or line cost from when it was done until the next deed of the same kind of thing,
    or the end: with nothing done (`without`), and as it went."""

    work: Work
    until: float
    without: float
    went: float
    eased: frozenset[str] = frozenset()
    """Of a deed that is not about one line: lines that cost less."""

    @property
    def verdict(self) -> Verdict:
        return verdict_of(self.without - self.went)


def verdict_of(saved: float) -> Verdict:
    """Return what it is called that so much of cost was saved."""
    return "helped" if saved >= LEAST else "harmed" if saved <= -LEAST else "no difference"


def judge(works: Sequence[Work], nothing: Course, went: Course, end: float) -> tuple[Judged, ...]:
    """Return what each work changed that took effect before the end, in order of time. A call of somebody who
    was called about the same before is work as well, and makes no difference."""
    came = [each for each in works if not each.why_not and each.end <= end]
    took = sorted((each for each in came if isinstance(each.order.action, JUDGED)), key=lambda each: each.end)
    deeds = [_judged(work, took[at + 1 :], nothing, went, end) for at, work in enumerate(took)]
    again = [Judged(each, end, 0.0, 0.0) for each in _called_again(came)]
    return tuple(sorted([*deeds, *again], key=lambda each: each.work.end))


def _called_again(works: Sequence[Work]) -> Iterator[Work]:
    """Yield each call of somebody who had been called about the same already."""
    called = set[tuple[str, str]]()
    for work in works:
        action = work.order.action
        if isinstance(action, CallOut):
            # Who is there is there, whatever it is about; an engineer goes to one gauge at a time.
            key = action.whom, action.about if action.whom in ABOUT else ""
            if key in called:
                yield work
            called.add(key)


def _judged(work: Work, later: Sequence[Work], nothing: Course, went: Course, end: float) -> Judged:
    action = work.order.action
    follows = (each.end for each in later if _thing(each.order.action) == _thing(action))
    until = next(follows, end)
    if isinstance(action, OF_ONE_LINE):
        before, after = (each.of_line(action.line, work.end, until) for each in (nothing, went))
        return Judged(work, until, before, after)
    if isinstance(action, OF_THE_SHIP):
        before, after = (each.of_ship(work.end, until) for each in (nothing, went))
    else:
        before, after = (each.of_all(work.end, until) for each in (nothing, went))
    return Judged(work, until, before, after, _eased(nothing, went, work.end, until))


def _eased(nothing: Course, went: Course, begin: float, until: float) -> frozenset[str]:
    """Return lines that cost less than with nothing done."""
    saved = {
        line: nothing.of_line(line, begin, until) - went.of_line(line, begin, until) for line in went.lines
    }
    return frozenset(line for line, cost in saved.items() if cost >= LEAST)


def _thing(action: Action) -> str:
    """What a deed is about: the next one about it takes its place."""
    if isinstance(action, ChangeCargo):
        return f"cargo {action.operation}"
    if isinstance(action, PutTug | LetTugGo):
        return f"tug {action.tug}"
    return f"line {getattr(action, 'line', '')}"
