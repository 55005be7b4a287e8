"""The words of `cycle.gauge_words`, where the screens look for them."""

from alongside.cycle.gauge_words import (
    AGED,
    BEARS_HOLDING,
    DRAUGHTS,
    HEEL,
    NEEDED,
    NOT_READ,
    by_hand_rows,
    doubtful_figure,
    expected,
    faults,
    missing,
    row_of,
    unsure,
    why_line_unknown,
    why_unknown,
)

__all__ = [
    "AGED",
    "BEARS_HOLDING",
    "DRAUGHTS",
    "HEEL",
    "NEEDED",
    "NOT_READ",
    "by_hand_rows",
    "doubtful_figure",
    "expected",
    "faults",
    "missing",
    "row_of",
    "unsure",
    "why_line_unknown",
    "why_unknown",
]
