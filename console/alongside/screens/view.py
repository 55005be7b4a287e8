"""The View: all that the screen shows at this moment, frozen. Parts of the screen are drawn from it alone."""

from dataclasses import dataclass, replace
from typing import Final, Literal

from alongside.alerts.model import Alert, Key
from alongside.alerts.state_text import needs_answer
from alongside.cycle.line_row import LineRow
from alongside.cycle.picture import Picture
from alongside.reports.remarks.text import Remarks
from alongside.screens.palettes import Palette
from alongside.screens.parts import HOME, OVER_ANY, Part
from alongside.screens.question import Answer, Question
from alongside.screens.row_order import Ranked, steady_order
from alongside.stay.model import Stay

SMALL_BELOW: Final = 30
"""Rows of the screen below which it is small."""
DENSE_FROM: Final = 14
"""Alerts that have room below the rows of every page on a small screen."""
ChartLines = Literal["one", "role", "all"]
CHART_LINES: Final[tuple[ChartLines, ...]] = ("one", "role", "all")
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
    part: Part = HOME
    """What fills the room in the middle."""
    line: str | None = None
    """The chosen line; None follows the worst."""
    alert: Key | None = None
    """The chosen alert; None follows the first that waits for an answer."""
    channel: str | None = None
    """The chosen gauge; None follows the first that is doubtful."""
    by_position: bool = False
    order: tuple[str, ...] = ()
    """Lines as they stood in order last, worst first."""
    scroll: int = 0
    hours: int = 6
    series: str = "stretch_share"
    """What the chart shows: a quantity of the chosen line, or a channel."""
    chart_lines: ChartLines = "one"
    """Of which lines it shows that quantity."""
    chart_at: float | None = None
    """UNIX seconds at which its cursor stands; None while it has none."""
    follows: bool = True
    """Whether an instructor's console shows what the trainee has in sight."""
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
    form: str = ""
    """The form that is open, "" for none: keys go to its fields."""
    behind: Part = HOME
    """The part over which the manual or the help was opened, to which Escape leads back."""
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


def turned_to(view: View, part: Part) -> View:
    """Return the View with a part in sight. The key of the manual and of the help leads back, when pressed
    again, to what they lie over; the help of the manual lies over the same."""
    if part not in OVER_ANY:
        return replace(view, part=part, scroll=0)
    if part == view.part:
        return replace(view, part=view.behind, scroll=0)
    behind = view.behind if view.part in OVER_ANY else view.part
    return replace(view, part=part, behind=behind, scroll=0)


def stepped_back(view: View) -> View:
    """Return the View after Escape: from the help and the manual to what they lie over, else home."""
    return turned_to(view, view.behind if view.part in OVER_ANY else HOME)


def is_dense(view: View, height: int) -> bool:
    """Return whether alerts need nearly all of a small screen: twenty of them stand in sight then."""
    return view.part == "alerts" and height < SMALL_BELOW and len(view.watch.alerts) > DENSE_FROM


def chosen_alert(view: View) -> Alert | None:
    """Return the alert that `acknowledge` means: the chosen one, else the first that waits for an answer,
    else the first of all."""
    alerts = view.watch.alerts
    chosen = [alert for alert in alerts if alert.key == view.alert]
    waiting = [alert for alert in alerts if needs_answer(alert)]
    return next(iter(chosen + waiting + list(alerts)), None)


def lines_in_order(view: View) -> list[LineRow]:
    """Return rows as the table shows them: worst first, each keeping its place among equals, or as the stay
    file has them."""
    rows = view.figures.lines
    if view.by_position:
        return list(rows)
    ranked = [Ranked(row.id, row.severity, row.bar) for row in rows]
    by_id = {row.id: row for row in rows}
    return [by_id[each] for each in steady_order(ranked, view.order)]


def is_same(view: View, other: View) -> bool:
    """Return whether two Views show the same: equal words and numbers, and the very same Pictures."""
    pairs = [(getattr(view, each), getattr(other, each)) for each in View.__slots__]
    plain = (str, int, float, tuple)
    return all(one is two or (isinstance(one, plain) and one == two) for one, two in pairs)


def settled(view: View) -> View:
    """Return the View with the present order of its lines, from which the next one is worked out."""
    order = tuple(row.id for row in lines_in_order(replace(view, by_position=False)))
    return view if order == view.order else replace(view, order=order)


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
