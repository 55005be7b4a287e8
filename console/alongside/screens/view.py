"""The View: all that the screen shows at this moment, frozen. Parts of the screen are drawn from it alone."""

from dataclasses import dataclass, replace
from typing import Final, Literal

from alongside.alerts.model import Alert, Key, Standing
from alongside.cycle.picture import LineRow, Picture
from alongside.reports.remarks.text import Remarks
from alongside.screens.palettes import Palette
from alongside.screens.question import Answer, Question
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from alongside.wording.marks import UNKNOWN_STAGES

Page = Literal[
    "lines",
    "alerts",
    "line",
    "chart",
    "plan",
    "wind",
    "ahead",
    "what_if",
    "log",
    "gauges",
    "remarks",
    "handover",
    "manual",
    "help",
]
PAGES: Final[dict[Page, str]] = {
    "lines": "Lines",
    "alerts": "Alerts",
    "line": "Line",
    "chart": "Chart",
    "plan": "Plan",
    "wind": "Wind",
    "ahead": "Ahead",
    "what_if": "What if",
    "log": "Log",
    "gauges": "Gauges",
    "remarks": "Remarks",
    "handover": "Hand-over",
    "manual": "Manual",
    "help": "Help",
}
"""The name of each page: the same as its title, at its key, in the help and in the manual."""

HOURS: Final = (1, 3, 6, 12, 24)
"""Lengths of the strip chart, hours."""


@dataclass(frozen=True, slots=True)
class View:
    """What is shown and how.

    `figures` is the Picture whose numbers stand on the screen: it stands still while the view is paused,
    and is renewed every 2 s at most. `watch` is the one whose alerts and advice are shown: it is never
    paused, and is renewed at once when an alert comes, goes or changes.
    """

    stay: Stay
    palette: Palette
    figures: Picture
    watch: Picture
    page: Page = "lines"
    line: str | None = None
    """The chosen line; None follows the worst."""
    alert: Key | None = None
    """The chosen alert; None follows the first that waits for an answer."""
    channel: str | None = None
    """The chosen gauge; None follows the first that is doubtful."""
    by_position: bool = False
    scroll: int = 0
    hours: int = 6
    series: str = "stretch_share"
    """What the chart shows: a quantity of the chosen line, or a channel."""
    lit: bool = False
    """Phase of flashing."""
    paused_at: float | None = None
    """UNIX seconds at which the view was paused."""
    silent_s: float | None = None
    """Seconds without a new Picture, when that is too long."""
    pending: str = ""
    """What was handed in and is not on record yet, in words."""
    overdue: bool = False
    """It should be by now."""
    reply: str = ""
    """What a key did, in words."""
    behind: Page = "lines"
    """The page from which the manual was opened, to which Escape leads back."""
    ascii: bool = False
    """Whether the terminal has no more than plain letters."""
    asked: Question | None = None
    """The question of what if that was asked last."""
    answer: Answer | None = None
    """The answer to it, once it is there."""
    remarks: Remarks | None = None
    """What is odd in the stay file; None until it is looked through."""
    remarks_fault: str = ""
    """Why it was not."""
    notice: str = ""
    """What is said once at the start."""
    fault: str = ""
    """A part of the screen that failed, since when and why."""


def turned_to(view: View, page: Page) -> View:
    """Return the View with a page in sight; from the page that is in sight it leads back: from the manual to
    the page it was opened on, else to the lines."""
    if page == view.page:
        page = view.behind if page == "manual" else "lines"
    return replace(view, page=page, behind=view.page, scroll=0)


def needs_answer(alert: Alert) -> bool:
    """Return whether it can be acknowledged: a caution needs none."""
    return alert.stage > Stage.CAUTION and alert.standing != Standing.ACKNOWLEDGED


def chosen_alert(view: View) -> Alert | None:
    """Return the alert that `acknowledge` means: the chosen one, else the first that waits for an answer,
    else the first of all."""
    alerts = view.watch.alerts
    chosen = [alert for alert in alerts if alert.key == view.alert]
    waiting = [alert for alert in alerts if needs_answer(alert)]
    return next(iter(chosen + waiting + list(alerts)), None)


def severity(row: LineRow) -> float:
    """Return by what a line stands in order: its stage; of one that nothing is known of the stage of its
    alert, else between normal and caution."""
    return float(UNKNOWN_STAGES.get(row.no_length.name, 0.5)) if row.stage is None else float(row.stage)


def pressure(row: LineRow) -> float:
    """Return how near a line is to its allowance: the larger of its shares, rounded so that rows do not
    change places with every ripple; -1 where not known."""
    shares = [share for share in (row.stretch_share, row.load_share) if share == share]
    return round(max(shares), 1) if shares else -1.0


def lines_in_order(view: View) -> list[LineRow]:
    """Return rows as the table shows them: worst first, or as the stay file has them."""
    rows = list(view.figures.lines)
    if view.by_position:
        return rows
    return sorted(rows, key=lambda row: (-severity(row), -pressure(row)))


def chosen_line(view: View) -> LineRow | None:
    """Return the chosen line, else the first in order."""
    rows = lines_in_order(view)
    return next((row for row in rows if row.id == view.line), rows[0] if rows else None)


def other_line(view: View, step: int) -> View:
    """Return the View with the line chosen that stands so many rows further down (+) or up (-)."""
    ids, chosen = [row.id for row in lines_in_order(view)], chosen_line(view)
    if chosen is None:
        return view
    return replace(view, line=ids[min(max(ids.index(chosen.id) + step, 0), len(ids) - 1)])
