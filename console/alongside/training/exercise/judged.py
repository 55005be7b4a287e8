"""What each deed of a trainee changed: judged by the stay as it went beside the stay with nothing done."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from alongside.actions import (
    Action,
    AddLine,
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

    @property
    def verdict(self) -> Verdict:
        saved = self.without - self.went
        return "helped" if saved >= LEAST else "harmed" if saved <= -LEAST else "no difference"


def judge(works: Sequence[Work], nothing: Course, went: Course, end: float) -> tuple[Judged, ...]:
    """Return what each work changed that took effect before the end, in order of time."""
    took = sorted(
        (
            each
            for each in works
            if not each.why_not and each.end <= end and isinstance(each.order.action, JUDGED)
        ),
        key=lambda each: each.end,
    )
    return tuple(_judged(work, took[at + 1 :], nothing, went, end) for at, work in enumerate(took))


def _judged(work: Work, later: Sequence[Work], nothing: Course, went: Course, end: float) -> Judged:
    action = work.order.action
    follows = (each.end for each in later if _thing(each.order.action) == _thing(action))
    until = next(follows, end)
    if isinstance(action, OF_ONE_LINE):
        return Judged(work, until, *(each.of_line(action.line, work.end, until) for each in (nothing, went)))
    if isinstance(action, OF_THE_SHIP):
        return Judged(work, until, *(each.of_ship(work.end, until) for each in (nothing, went)))
    return Judged(work, until, *(each.of_all(work.end, until) for each in (nothing, went)))


def _thing(action: Action) -> str:
    """What a deed is about: the next one about it takes its place."""
    if isinstance(action, ChangeCargo):
        return f"cargo {action.operation}"
    if isinstance(action, PutTug | LetTugGo):
        return f"tug {action.tug}"
    return f"line {getattr(action, 'line', '')}"
