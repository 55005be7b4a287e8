"""What happened in an exercise besides alerts, each with the mark that it bears on the time axis: injections
by number, orders and readings by letter."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf, isfinite
from string import ascii_lowercase
from typing import Final

from alongside.actions import CallOut, Correct, PutTug, ReadByHand, SetBrake, TendLine
from alongside.stay.model import Display
from alongside.training.exercise.crew import NEW_LINE, Work
from alongside.training.exercise.debrief import Debrief
from alongside.training.exercise.instructed_text import injection_words
from alongside.training.exercise.judged import OF_THE_SHIP
from alongside.training.exercise.model import BrakeRendering, CargoRate, Exercise, ForgottenLine, Injection
from alongside.wording.actions import order_words
from alongside.wording.safe import safe
from alongside.wording.times import clock

ORDERS: Final = TendLine | SetBrake | NEW_LINE | PutTug | OF_THE_SHIP | CallOut | Correct | ReadByHand
"""What is ordered; the rest is done at the console itself, and stands with the alerts."""


@dataclass(frozen=True, slots=True)
class Happened:
    """Something with its mark. It lasts from `begin` to `end`, UNIX s, the same for what happens at once."""

    mark: str
    begin: float
    end: float
    words: str


@dataclass(frozen=True, slots=True)
class Ordered(Happened):
    """An order, from when it was given to when it was carried out; `came` is what became of it."""

    work: Work
    came: str

    @property
    def is_reading(self) -> bool:
        return isinstance(self.work.order.action, ReadByHand)

    @property
    def line(self) -> str:
        """Return the line that it is about, "" for none."""
        return getattr(self.work.order.action, "line", "")


def injected(exercise: Exercise) -> tuple[Happened, ...]:
    """Return what was put into the stay, in order of time."""
    spells = sorted((_spell(each, exercise) for each in exercise.injections), key=lambda each: each[:2])
    return tuple(Happened(str(at), *spell) for at, spell in enumerate(spells, start=1))


def ordered(debrief: Debrief) -> tuple[Ordered, ...]:
    """Return what was ordered, in order of time."""
    orders = [each for each in debrief.as_done.run.works if isinstance(each.order.action, ORDERS)]
    verdicts = {id(each.work): each.verdict for each in debrief.judged}
    end, display = debrief.exercise.end, debrief.exercise.stay.display
    return tuple(
        Ordered(
            mark,
            work.order.time,
            min(work.end, end) if isfinite(work.end) and not work.why_not else work.order.time,
            order_words(work.order.action),
            work,
            _came(work, verdicts.get(id(work), ""), end, display),
        )
        for mark, work in zip(_letters(), orders, strict=False)
    )


def _came(work: Work, verdict: str, end: float, display: Display) -> str:
    if work.why_not:
        return f"not done: {safe(work.why_not)}"
    if work.end > end:
        return "not done before the end"
    return ", ".join(filter(None, (f"done {clock(work.end, display)}", verdict)))


def _letters() -> Iterator[str]:
    """Return a, b, … z, aa, ab, … without end."""
    yield from ascii_lowercase
    for first in _letters():
        yield from (f"{first}{second}" for second in ascii_lowercase)


def _spell(injection: Injection, exercise: Exercise) -> tuple[float, float, str]:
    """Return when it begins and ends, within the exercise, and what it is."""
    start, display = exercise.start, exercise.stay.display
    begin = getattr(injection, "at", None)
    if isinstance(injection, ForgottenLine):
        begin = injection.tend_at
    begin = start if begin is None else begin
    lasts = inf if isinstance(injection, BrakeRendering | CargoRate) else 0.0
    end = begin + getattr(injection, "seconds", lasts)
    before = f", {clock(begin, display)}, before the exercise" if begin < start else ""
    words = f"{injection_words(injection, display)}{before}"
    return max(begin, start), min(max(end, start), exercise.end), words
