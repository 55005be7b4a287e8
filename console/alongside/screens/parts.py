"""The five pages of the screen, by digits, and the parts of each: a part fills the room in the middle."""

from typing import Final, Literal

Page = Literal["now", "line", "wind", "ahead", "log"]
Part = Literal[
    "lines",
    "table",
    "plan",
    "line",
    "chart",
    "wind",
    "ahead",
    "decide",
    "rounds",
    "what_if",
    "alerts",
    "log",
    "handover",
    "orders",
    "gauges",
    "remarks",
    "manual",
    "help",
    "self_test",
    "station",
]

PAGES: Final[dict[Page, tuple[str, tuple[Part, ...]]]] = {
    "now": ("Now", ("lines", "table", "plan")),
    "line": ("Line", ("line", "chart")),
    "wind": ("Wind", ("wind",)),
    "ahead": ("Ahead", ("ahead", "decide", "rounds", "what_if")),
    "log": ("Log", ("alerts", "log", "handover", "orders", "gauges", "remarks")),
}
"""Name and parts of each page; its digit is its place. The first part is the one that its digit opens."""
PARTS: Final[dict[Part, str]] = {
    "lines": "Worst first",
    "table": "All lines",
    "plan": "Plan",
    "line": "Line",
    "chart": "Chart",
    "wind": "Wind",
    "ahead": "Hours",
    "decide": "Decide by",
    "rounds": "Rounds",
    "what_if": "What if",
    "alerts": "Alerts",
    "log": "History",
    "handover": "Hand-over",
    "orders": "Orders",
    "gauges": "Gauges",
    "remarks": "Remarks",
    "manual": "Manual",
    "help": "Help",
    "self_test": "Self-test",
}
"""The name of each part: the same in its row of names, in the help and in the manual."""
STATION: Final[Part] = "station"
"""Of a console that instructs alone: what its instructor knows beside the trainee's picture."""
STATION_NAME: Final = "Station"
HOME: Final[Part] = "lines"
OVER_ANY: Final[tuple[Part, ...]] = ("manual", "help", "self_test", STATION)
"""Parts that lie over any page, about what was in sight there."""


def page_of(part: Part, behind: Part = HOME) -> Page:
    """Return the page of a part; of the manual and the help that of the part behind them."""
    sought = behind if part in OVER_ANY else part
    return next((page for page, (_name, parts) in PAGES.items() if sought in parts), "now")


def is_now(part: Part) -> bool:
    """Return whether a part is one of page Now, with its large figures; what lies over it needs the room."""
    return part in PAGES["now"][1]


def next_part(part: Part, behind: Part, step: int) -> Part:
    """Return the part so many further on its page, round about; from the help and the manual back to the one
    behind them."""
    if part in OVER_ANY:
        return behind
    parts = PAGES[page_of(part)][1]
    return parts[(parts.index(part) + step) % len(parts)]
