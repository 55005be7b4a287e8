"""The causes of alerts, by the names that output and records use."""

from collections.abc import Mapping
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
    "soon",
    "feed",
    "heading",
    "calculation",
    "record",
    "clock",
]
"""In the order of what can part, run out or ground first."""

CAUSES: Final[tuple[Cause, ...]] = get_args(Cause)
_PLACE: Final = {cause: place for place, cause in enumerate(CAUSES)}


def worst_cause(stages: Mapping[Cause, Stage]) -> Cause | Literal[""]:
    """Return the cause of the worst stage, of equal ones what can part first; "" where all are normal."""
    worst = max(stages, key=lambda cause: (stages[cause], -_PLACE[cause]), default=None)
    return worst if worst is not None and stages[worst] else ""
