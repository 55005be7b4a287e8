"""What is remembered of deeds that were entered, so that the last of a line can be taken back."""

from dataclasses import dataclass
from math import isfinite
from typing import Final, TypeVar

from alongside.cycle.brakes.model import BrakeAnswer, BrakeQuestion
from alongside.cycle.deck.altered import OnDeck, Rigged
from alongside.cycle.deck.loads_read import LoadRead

MOST_DEEDS: Final = 8
"""Deeds of one line that may be taken back, one after the other. Ours."""
Part = TypeVar("Part")


@dataclass(frozen=True, slots=True)
class LineState:
    """All that a deed may change of one line: main rope out, m, NaN for none; the same if brakes in question
    slipped, NaN where none is; whether it is fast, UNIX seconds at which it parted and was let go, infinite
    where it did not; tendings of the stay file that are done; and what is asked and answered of its brake."""

    unstretched_m: float
    slipped_m: float
    fast: bool
    parted: float
    let_go: float
    tended: int
    question: BrakeQuestion | None
    answer: BrakeAnswer | None
    rig: Rigged | None = None
    """How it is rigged, where that is not as the stay file has it."""
    loads_read: tuple[LoadRead, ...] = ()
    """What somebody has read of its load."""


@dataclass(frozen=True, slots=True)
class LineDeed:
    """What was done to one line, at UNIX seconds, in words; the line just before and just after."""

    line: str
    time: float
    words: str
    before: LineState
    after: LineState
    adds: bool = False
    """The line was not there before."""
    by: str = ""
    """Initials."""


@dataclass(frozen=True, slots=True)
class OtherDeed:
    """What was done to tugs or to the cargo plan (`subject`), at UNIX seconds, in words; both just before."""

    subject: str
    time: float
    words: str
    before: OnDeck


def taken_back(now: LineState, deed: LineDeed) -> LineState:
    """Return a line as it would be without a deed: what the deed changed is as before, what changed since by
    something else stands."""
    before, after = deed.before, deed.after
    return LineState(
        _length(now.unstretched_m, before.unstretched_m, after.unstretched_m),
        _length(now.slipped_m, before.slipped_m, after.slipped_m),
        _part(now.fast, before.fast, after.fast),
        _part(now.parted, before.parted, after.parted),
        _part(now.let_go, before.let_go, after.let_go),
        _part(now.tended, before.tended, after.tended),
        _part(now.question, before.question, after.question),
        _part(now.answer, before.answer, after.answer),
        _part(now.rig, before.rig, after.rig),
        _part(now.loads_read, before.loads_read, after.loads_read),
    )


def _length(now: float, before: float, after: float) -> float:
    """Return a length without the change of a deed, exactly that of before where nothing came since."""
    if now == after or not (isfinite(now) or isfinite(after)):
        return before
    if isfinite(now) and isfinite(before) and isfinite(after):
        return now + before - after
    return now


def _part(now: Part, before: Part, after: Part) -> Part:
    """Return a part of before where it is as the deed left it; not known is like not known."""
    return before if repr(now) == repr(after) else now


def with_deed(deeds: tuple[LineDeed, ...], deed: LineDeed) -> tuple[LineDeed, ...]:
    """Return deeds with one more; the oldest of the line is dropped where there are too many."""
    same = [each for each in deeds if each.line == deed.line]
    kept = tuple(each for each in deeds if len(same) < MOST_DEEDS or each is not same[0])
    return (*kept, deed)


def last_deed(deeds: tuple[LineDeed, ...], line: str) -> LineDeed | None:
    """Return the last deed of a line that may be taken back; None where there is none."""
    return next((each for each in reversed(deeds) if each.line == line), None)
