"""What each deed of a trainee changed: judged by the stay as it went beside the stay with nothing done."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

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
from alongside.training.exercise.crew import NEW_LINE, Work

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


class Trouble(NamedTuple):
    """A channel that fails, or whose feed has an alert, from `begin` to before `end`, UNIX s."""

    channel: str
    begin: float
    end: float


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


def judge(
    works: Sequence[Work],
    nothing: Course,
    went: Course,
    end: float,
    *,
    asked_for: Collection[CallOut] = (),
    troubles: Sequence[Trouble] = (),
) -> tuple[Judged, ...]:
    """Return what each work changed that took effect before the end, in order of time. A call that nobody
    needed is work as well, and makes no difference: of somebody who was called about the same before, of an
    engineer to a gauge that is in none of the `troubles`, of linesmen or tugs that then get nothing to do.
    Calls `asked_for` by the exercise are none of these the first time."""
    came = [each for each in works if not each.why_not and each.end <= end]
    took = sorted((each for each in came if isinstance(each.order.action, JUDGED)), key=lambda each: each.end)
    deeds = [_judged(work, took[at + 1 :], nothing, went, end) for at, work in enumerate(took)]
    idle = [Judged(each, end, 0.0, 0.0) for each in _called_in_vain(came, asked_for, troubles)]
    return tuple(sorted([*deeds, *idle], key=lambda each: each.work.end))


def _called_in_vain(
    works: Sequence[Work], asked_for: Collection[CallOut], troubles: Sequence[Trouble]
) -> Iterator[Work]:
    """Yield calls that made no difference."""
    called = set[tuple[str, str]]()
    wanted = {_whom(action) for action in asked_for}
    for work in works:
        action = work.order.action
        if isinstance(action, CallOut):
            key = _whom(action)
            if key in called or (key not in wanted and not _of_use(action, work.end, works, troubles)):
                yield work
            called.add(key)


def _whom(action: CallOut) -> tuple[str, str]:
    """Who is there is there, whatever it is about; an engineer goes to one gauge at a time."""
    return action.whom, action.about if action.whom in ABOUT else ""


def _of_use(action: CallOut, at: float, works: Sequence[Work], troubles: Sequence[Trouble]) -> bool:
    """Return whether somebody called had anything to do. A master or a terminal that knows is never called
    in vain."""
    match action.whom:
        case "engineer":
            return any(each.channel == action.about and each.begin <= at < each.end for each in troubles)
        case "linesmen":
            return any(isinstance(each.order.action, NEW_LINE) and each.end > at for each in works)
        case "tugs":
            return any(isinstance(each.order.action, PutTug) and each.end > at for each in works)
    return True


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
