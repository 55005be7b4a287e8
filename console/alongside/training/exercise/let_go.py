"""What lines cost that were let go and have nothing put out in their place: no figure of theirs stands over a
limit any more, and the ship hangs on fewer."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from alongside.actions import AddLine, LineGone, MakeFast, RenewLine
from alongside.training.exercise.course import MINUTE_S, Course
from alongside.training.exercise.crew import Work

LET_GO: Final = 10.0
"""A minute, as an alarm: it carries as little as one that parted. Ours, no source."""
Gone = tuple[str, float, float]
"""A line, from when to when, UNIX s."""


def with_lines_let_go(course: Course, works: Sequence[Work], end: float) -> Course:
    """Return the course with what such lines cost until the end of the exercise, UNIX s."""
    cost = course.line_cost.copy()
    last = round((end - course.start) / MINUTE_S)
    for line, begin, until in not_made_good(works, end):
        if line in course.lines:
            first, stop = (round((at - course.start) / MINUTE_S) for at in (begin, until))
            rows = slice(max(first, 0), min(stop, last))
            column = course.lines.index(line)
            cost[rows, column] = np.maximum(cost[rows, column], LET_GO)
    return replace(course, line_cost=cost)


def not_made_good(works: Sequence[Work], end: float) -> list[Gone]:
    """Return lines that were let go, each for as long as it is not fast again, and no line was added that
    makes good for it: one for one, the first let go first, before or after."""
    took = sorted((each for each in works if not each.why_not and each.end <= end), key=lambda w: w.end)
    gone: list[str] = []
    added, since, found = 0, -np.inf, list[Gone]()
    for at, action in [*((each.end, each.order.action) for each in took), (end, None)]:
        found += [(line, since, at) for line in gone[added:] if at > since]
        since = at
        match action:
            case LineGone(line=line, how="let_go") if line not in gone:
                gone.append(line)
            case MakeFast(line=line) | RenewLine(line=line) if line in gone:
                gone.remove(line)
            case AddLine():
                added += 1
    return found
