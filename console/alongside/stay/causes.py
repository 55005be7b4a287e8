"""The causes of alerts, by the names that output and records use."""

from collections.abc import Mapping
from math import inf
from typing import Final, Literal, get_args

from alongside.stay.stage import Stage

Cause = Literal[
    "parted",
    "stretch",
    "load",
    "brake",
    "bollard",
    "tension",
    "not_known",
    "steep",
    "slack",
    "under_keel",
    "off_fenders",
    "holding",
    "drift",
    "gangway",
    "decide",
    "ahead",
    "feed",
    "heading",
    "calculation",
    "record",
    "clock",
    "caller",
    "bridge",
]
"""In the order of what can part, run out or ground first."""

CAUSES: Final[tuple[Cause, ...]] = get_args(Cause)
EXPECTED: Final[frozenset[Cause]] = frozenset({"ahead", "decide"})
"""Causes that tell of the hours ahead, not of now."""
FORMER: Final[Mapping[str, Cause]] = {"soon": "ahead"}
"""Names that older records have for what has another now."""
_PLACE: Final = {cause: place for place, cause in enumerate(CAUSES)}


def known_cause(name: str) -> Cause | None:
    """Return the cause of that name, or of that former name; None where there is none."""
    now = FORMER.get(name, name)
    return next((cause for cause in CAUSES if cause == now), None)


def worst_cause(stages: Mapping[Cause, Stage], bars: Mapping[Cause, float]) -> Cause | Literal[""]:
    """Return the cause of the worst stage, of equal ones that with the highest bar, then what can part first;
    "" where all are normal."""
    worst = max(stages, key=lambda cause: (stages[cause], bars.get(cause, 0.0), -_PLACE[cause]), default=None)
    return worst if worst is not None and stages[worst] else ""


def highest_bar(bars: Mapping[Cause, float]) -> Cause | Literal[""]:
    """Return the cause of the highest bar, of equal ones what can part first; "" where none is known."""
    highest: Cause | Literal[""] = ""
    top = -inf
    for cause, bar in bars.items():  # of each line at every beat of the screen: no key, no list
        if bar > top or (bar == top and highest and _PLACE[cause] < _PLACE[highest]):
            highest, top = cause, bar
    return highest
