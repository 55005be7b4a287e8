"""Water without a tide: the level of a dock, and of a lock that is changed in steps."""

from typing import Any, Final

from alongside.stay.fields import TIME, listed, number, rising
from alongside.stay.nodes import Node
from alongside.stay.records import optional, record, required
from alongside.units import iso_time

LEVEL: Final = number("m", least=-20, most=60)
OVER_MIN: Final = 15.0
"""Minutes that a chamber takes to fill or empty, where the file does not say. Common practice, no source."""

Step = tuple[float, float, float]
"""From when, UNIX s, to which level, m above chart datum, within how many seconds."""


def _step(at: float, level: float, over_min: float = OVER_MIN) -> Step:
    return at, level, over_min * 60.0


def _one_after_the_other(node: Node, steps: tuple[Step, ...]) -> None:
    """Refuse a step that begins before the one before it has ended. The first has nothing to come from."""
    if steps and "over_min" in node[0]:
        node[0]["over_min"].fault("over_min of the first level", "none: it stands from before")
    for place in range(2, len(steps)):
        at, _, over_s = steps[place - 1]
        if steps[place][0] < at + over_s:
            node[place]["at"].fault("begins before the level before is reached", iso_time(at + over_s))


LEVELS: Final = listed(
    record(
        _step,
        at=required(TIME),
        level=required(LEVEL),
        over_min=optional(number("min", least=0, most=600)),
    ),
    rising(lambda step: step[0], "time", iso_time),
    _one_after_the_other,
    least=1,
)


def steps_of(given: dict[str, Any]) -> tuple[Step, ...]:
    """Take `level` and `levels` out of what a section gives, and return them as steps."""
    level = given.pop("level", None)
    steps: tuple[Step, ...] = given.pop("levels", ())
    return steps if level is None else ((0.0, level, 0.0),)
