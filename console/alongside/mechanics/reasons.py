"""Why there is no answer: codes that stand beside a NaN, and their words."""

from enum import IntEnum
from typing import Final


class NoAnswer(IntEnum):
    """Code of an instant or a line; `ANSWERED` (0) where there is an answer."""

    ANSWERED = 0
    TIDE_UNKNOWN = 1
    DRAUGHT_UNKNOWN = 2
    HEEL_UNKNOWN = 3
    NO_SUCH_LENGTH = 4
    """The path is too short: no positive length of main rope carries that load."""
    NO_SUCH_LOAD = 5
    """The load is negative, not known, or more than the curve of a part ever reaches."""
    NOTHING_HOLDS = 6
    """No place is at rest near the berth: lines and fenders do not hold her against wind and current."""
    NOT_BALANCED = 7
    """The search for the balance did not settle."""
    FAILED = 8
    """The calculation itself failed: a fault of ours."""


REASONS: Final[dict[int, str]] = {
    NoAnswer.ANSWERED: "",
    NoAnswer.TIDE_UNKNOWN: "tide not known",
    NoAnswer.DRAUGHT_UNKNOWN: "draught not known",
    NoAnswer.HEEL_UNKNOWN: "heel not known",
    NoAnswer.NO_SUCH_LENGTH: "path too short for any length of main rope",
    NoAnswer.NO_SUCH_LOAD: "load that the rope cannot carry",
    NoAnswer.NOTHING_HOLDS: "nothing holds her against wind and current",
    NoAnswer.NOT_BALANCED: "balance of forces not found",
    NoAnswer.FAILED: "calculation failed",
}
