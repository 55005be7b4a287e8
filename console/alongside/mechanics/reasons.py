"""Why there is no answer: codes that stand beside a NaN, and their words."""

from collections.abc import Sequence
from enum import IntEnum
from typing import Final

from alongside.readings import Codes
from alongside.wording import names


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
    NO_SUCH_DRAUGHT = 9
    """A draught is below zero: no ship floats so, and what it rests on is wrong."""


class NoLength(IntEnum):
    """Why no length of a line is known at an instant; `KNOWN` (0) where one is. Without a length it has no
    load, and nothing is normal about it."""

    KNOWN = 0
    NOT_FAST = 1
    """The time at which it is to be made fast has not come."""
    WAITING = 2
    """That time has come; the readings that making fast needs have not."""
    IMPOSSIBLE = 3
    """It is made fast, but no main rope carries its load there: the tail is longer than the path."""
    PARTED = 4
    LET_GO = 5


HANGS: Final = (NoLength.KNOWN, NoLength.IMPOSSIBLE)
"""Codes of a line that is out: one without a length carries a load that nobody knows."""


def lines_without_length(lines: Sequence[str], codes: Codes) -> tuple[tuple[str, str], ...]:
    """Return the lines that have no length, each with why in words; `codes` (lines,) `NoLength`."""
    return tuple(
        (line, names.no_length(NoLength(code).name))
        for line, code in zip(lines, codes.tolist(), strict=True)
        if code
    )


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
    NoAnswer.NO_SUCH_DRAUGHT: "draught below zero",
}
