"""Marks on a time axis that do not lie over one another."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from alongside.training.exercise.page.happened import Happened


@dataclass(frozen=True, slots=True)
class Placed:
    """Marks that stand as one, such as `1` or `a–d`, from `begin` to `end`, UNIX s, in a lane."""

    text: str
    begin: float
    end: float
    lane: int = 0


def together(things: Iterable[Happened], apart: float) -> tuple[Placed, ...]:
    """Return the marks of things in order of time, one mark for those that begin within so many seconds of
    the first of them."""
    groups: list[list[Happened]] = []
    for each in sorted(things, key=lambda each: each.begin):
        if groups and each.begin - groups[-1][0].begin < apart:
            groups[-1].append(each)
        else:
            groups.append([each])
    return tuple(Placed(_text(group), group[0].begin, max(each.end for each in group)) for group in groups)


def in_lanes(marks: Sequence[Placed], apart: float) -> tuple[Placed, ...]:
    """Return marks each in the first lane in which it does not touch the one before it, counting so many
    seconds for its text."""
    free: list[float] = []
    placed: list[Placed] = []
    for each in marks:
        lane = next((at for at, until in enumerate(free) if until <= each.begin), len(free))
        free[lane:] = [max(each.end, each.begin + apart), *free[lane + 1 :]]
        placed.append(Placed(each.text, each.begin, each.end, lane))
    return tuple(placed)


def spread(heights: Sequence[float], apart: float, least: float, most: float) -> list[float]:
    """Return heights, moved as little as it takes to lie so far apart, from `least` to `most`, in the order
    in which they were; those of the same height as they come."""
    order = sorted(range(len(heights)), key=lambda at: heights[at])
    moved = [min(max(heights[at], least), most) for at in order]
    for at in range(1, len(moved)):
        moved[at] = max(moved[at], moved[at - 1] + apart)
    top = most
    for at in reversed(range(len(moved))):
        moved[at] = min(moved[at], top)
        top = moved[at] - apart
    return [moved[order.index(at)] for at in range(len(heights))]


def _text(group: Sequence[Happened]) -> str:
    first, last = group[0].mark, group[-1].mark
    return first if len(group) == 1 else f"{first}{',' if len(group) == 2 else '–'}{last}"
