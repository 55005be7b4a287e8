"""Words of the look-only page that do not come from the watch: titles, what the page is, what it says when
its figures are old."""

from collections.abc import Mapping
from typing import Final

from alongside.wording.cautions import COMPUTED, SNAP_BACK

LOOKS_ONLY: Final = "LOOKS ONLY"
NO_ALARM: Final = "This page gives no alarm. The console on board goes first."
NOT_SHOWN: Final = "Not shown: calculation failed"
NO_LINES: Final = "No line is known yet"
NO_GAUGES: Final = "No gauges heard yet"
NOTHING_AHEAD: Final = "Nothing expected in the hours ahead"
FIRST: Final = "NO FIGURES YET"
WATCH_GONE: Final = "NOBODY KEEPS WATCH"

PAGE: Final[Mapping[str, str]] = {
    "title": "alongside: look only",
    "looks_only": LOOKS_ONLY,
    "no_alarm": NO_ALARM,
    "first": FIRST,
    "stale": "NO NEW FIGURES",
    "stale_for": "NO NEW FIGURES for",
    "watch_gone": WATCH_GONE,
    "last_figures": "Figures crossed out are old: do not act on them. Look at the console on board.",
    "connecting": "Connecting again by itself.",
    "refused": "Not let in: open the address that was printed when this page was started.",
    "full": "Too many readers look already. Close the page on another device.",
    "not_shown": NOT_SHOWN,
    "needs_script": "This page needs scripts to be allowed. Without them it shows no figures.",
    "next": "Next",
    "wind_and_water": "Wind and water",
    "lines": "Lines",
    "alerts": "Alerts",
    "plan": "Plan",
    "gauges": "Gauges",
    "night": "Night",
    "limits": "On each bar 70 is the caution limit, 85 the warning limit, 100 the alarm limit.",
    "computed": COMPUTED,
    "snap_back": SNAP_BACK,
}
"""By their names in the page."""

SERVED: Final = "Look-only page for this machine:"
OPEN: Final = "Look-only page, to be opened once on each device:"
UNSAFE_LINE: Final = "Nothing is encrypted on its way: open it on the ship's own network only."
NOT_LET_IN: Final = "Not let in"
NOT_LET_IN_WHY: Final = "Open the address that was printed when this page was started."
GO_ON: Final = "Just done that? Go on to the page."
REFUSED: Final[Mapping[int, str]] = {
    400: "This is no request.",
    403: "No other page may read this one.",
    404: "There is nothing here.",
    405: "This page only looks.",
    408: "The request took too long.",
    421: "Open this page by the address that was printed when it was started.",
    431: "The request is too long.",
    503: "Too many readers look already. Close the page on another device.",
}
"""What a browser gets in place of the page, by the status of the answer."""
