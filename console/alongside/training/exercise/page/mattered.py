"""What of ship and lines mattered in an exercise, and is drawn and listed: what came near a limit in any of
the ways that it may go, and lines that something was done to."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.alerts.bars import BAR_AT
from alongside.readings import Floats
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage
from alongside.training.exercise.course import OF_THE_SHIP, Course
from alongside.training.exercise.debrief import Debrief

MOST_LINES: Final = 6
"""Lines drawn where nobody asks for all."""
Bars = tuple[Floats, Floats, Floats]
"""(m,) each: as done, nothing done, best plan."""


@dataclass(frozen=True, slots=True)
class Mattered:
    """`lines` that are drawn and listed, and those that came to a caution but are not; `causes` of the ship
    that came to one."""

    lines: tuple[str, ...]
    left_out: tuple[str, ...]
    causes: tuple[Cause, ...]


def mattered(debrief: Debrief, all_lines: bool) -> Mattered:
    """Return what is drawn. Of more lines than there is room for, those that a lesson is about come first,
    then those that came nearest to a limit."""
    courses = courses_of(debrief)
    lines = courses[0].lines
    highest = {line: _most(line_bars(courses, line)) for line in lines}
    taught = {each.line for each in debrief.lessons}
    done = {getattr(each.work.order.action, "line", None) for each in debrief.judged}
    asked = [line for line in lines if line in taught | done or highest[line] >= BAR_AT[Stage.CAUTION]]
    ranked = sorted(asked, key=lambda line: (line not in taught, -highest[line]))
    chosen = lines if all_lines else tuple(line for line in lines if line in ranked[:MOST_LINES])
    left_out = tuple(line for line in asked if line not in chosen)
    causes = tuple(each for each in OF_THE_SHIP if _most(ship_bars(courses, each)) >= BAR_AT[Stage.CAUTION])
    return Mattered(chosen, left_out, causes)


def courses_of(debrief: Debrief) -> tuple[Course, Course, Course]:
    """Return the courses of the ways: as done, nothing done, best plan."""
    went, nothing, best = (way.run.course for way in debrief.outcomes)
    return went, nothing, best


def line_bars(courses: Sequence[Course], line: str) -> Bars:
    """Return the bars of a line, per cent."""
    went, nothing, best = (each.line_bar[:, each.lines.index(line)] for each in courses)
    return went, nothing, best


def ship_bars(courses: Sequence[Course], cause: Cause | None = None) -> Bars:
    """Return the bars of a cause of the ship, or the highest of all, per cent."""
    columns = slice(None) if cause is None else [OF_THE_SHIP.index(cause)]
    went, nothing, best = (np.fmax.reduce(each.ship_bar[:, columns], axis=1) for each in courses)
    return went, nothing, best


def _most(bars: Bars) -> float:
    """Return the highest of all ways, 0 where none is known."""
    return max(float(np.fmax.reduce(each, initial=0.0)) for each in bars)
