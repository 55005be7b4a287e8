"""The alerts at the foot of every page: the chosen one, the next ones, how many more; and the next tending
round, where they leave room and the advice speaks of something else."""

from textual.strip import Strip

from alongside.alerts.joined import Row, rows_of
from alongside.alerts.model import Alert
from alongside.cycle.advice.rounds import next_round
from alongside.screens.alert_rows import alert_row, group_row, no_alerts
from alongside.screens.board import Board
from alongside.screens.rows import fit, strip
from alongside.screens.view import View, chosen_alert
from alongside.wording.safe import safe


class AlertStrip(Board):
    def rows_wanted(self, view: View, width: int, height: int) -> int:
        """Return few rows on a small screen; more on a tall one, always the same number, so that nothing
        jumps."""
        return 2 if height < 30 else (4 if height < 44 else 8)

    def alerts(self, view: View, height: int) -> list[Alert]:
        rows = [] if view.watch.groups else _in_order(view)
        return [alert for row in (rows if len(rows) <= height else rows[: height - 1]) for alert in row]

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette, picture = view.palette, view.watch
        if not picture.alerts:
            return [strip([(f"  {no_alerts(picture)}", palette.label)], width, palette.text)]
        if picture.groups:
            rows = [group_row(view, group, width) for group in picture.groups]
            return _cut(view, rows, width, height, "causes")
        chosen = chosen_alert(view)
        rows = [alert_row(view, row, width, is_chosen=chosen in row) for row in _in_order(view)]
        if len(rows) < height and (coming := _next_round(view)):
            text = fit(f"  Next round: {coming}", width - 1)
            rows.append(strip([(text, palette.text)], width, palette.text))
        return _cut(view, rows, width, height, "alerts")


def _in_order(view: View) -> list[Row]:
    """Return all alerts as rows, the chosen one first."""
    chosen = chosen_alert(view)
    return sorted(rows_of(view.watch.alerts), key=lambda row: chosen not in row)


def _next_round(view: View) -> str:
    """Return the next round in words; "" where none is needed or the advice says it."""
    picture = view.watch
    if picture.forecast is None or picture.forecast.reason:
        return ""
    saying = next_round(picture.forecast, picture.time, view.stay.display)
    if saying is None or saying.do in picture.advice.text:
        return ""
    return safe(f"{saying.do}{saying.then}")


def _cut(view: View, rows: list[Strip], width: int, height: int, what: str) -> list[Strip]:
    if len(rows) <= height:
        return rows
    more = f"  {len(rows) - height + 1} more {what}, l lists them"
    return [*rows[: height - 1], strip([(more, view.palette.label)], width, view.palette.text)]
