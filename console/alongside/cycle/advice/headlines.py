"""The closed list of headlines: what stands in the largest letters, each at most 20 cells."""

from collections.abc import Sequence
from typing import Final, Literal, get_args

from alongside.wording.cells import cells, within_cells
from alongside.wording.safe import safe

Headline = Literal[
    "READ TIDE BOARD",
    "READ DRAUGHTS",
    "CHECK GAUGES",
    "CHECK LINES",
    "CHECK CLOCK",
    "CALL MASTER",
    "TELL BRIDGE",
    "ORDER TUGS",
    "STOP CARGO",
    "DISCONNECT",
    "LEAVE BERTH",
    "CLOSE GANGWAY",
    "DO NOT SLACK",
    "NO NEW FIGURES",
    "NOT ON RECORD",
    "NOBODY KEEPS WATCH",
    "LOOKS ONLY",
    "CHECKING",
    "ALL NORMAL",
]
LineHeadline = Literal[
    "SLACK {}",
    "HEAVE {}",
    "TEND {}",
    "LOOK AT WINCH {}",
    "LOOK AT LINE {}",
    "MOVE LINE {}",
    "STAND BY {}",
    "EASING {}",
    "WATCH LINE {}",
    "LINE {} PARTED",
]
"""Those that name lines: three at most, then how many more."""

HEADLINES: Final[tuple[Headline, ...]] = get_args(Headline)
LINE_HEADLINES: Final[tuple[LineHeadline, ...]] = get_args(LineHeadline)
CELLS: Final = 20
MOST_LINES: Final = 3


def of_lines(headline: LineHeadline, lines: Sequence[str]) -> str:
    """Return a headline with as many lines named as fit: `SLACK 4, 10 +2`; a name that does not fit alone is
    cut."""
    names = [safe(line) for line in lines]
    for count in range(min(len(names), MOST_LINES), 0, -1):
        rest = f" +{len(names) - count}" if len(names) > count else ""
        text = headline.format(", ".join(names[:count]) + rest)
        if cells(text) <= CELLS:
            return text
    rest = f" +{len(names) - 1}" if len(names) > 1 else ""
    room = CELLS - cells(headline.format(rest))
    return headline.format(f"{within_cells(names[0], room - 1).rstrip()}…{rest}")
