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


REASONS: Final[dict[int, str]] = {
    NoAnswer.ANSWERED: "",
    NoAnswer.TIDE_UNKNOWN: "tide not known",
    NoAnswer.DRAUGHT_UNKNOWN: "draught not known",
    NoAnswer.HEEL_UNKNOWN: "heel not known",
    NoAnswer.NO_SUCH_LENGTH: "path too short for any length of main rope",
    NoAnswer.NO_SUCH_LOAD: "load that the rope cannot carry",
}
