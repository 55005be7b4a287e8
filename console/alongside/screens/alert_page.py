"""The page of alerts: worst first, in a flood grouped by cause, at least 20 at a time."""

from dataclasses import replace

from textual.strip import Strip

from alongside.alerts.model import Alert
from alongside.screens.alert_rows import alert_row, group_row, text_at
from alongside.screens.board import Board
from alongside.screens.rows import fit, strip, wrap
from alongside.screens.view import View, chosen_alert
from alongside.wording.safe import safe


class AlertPage(Board):
    def move(self, view: View, step: int) -> View:
        """Choose the alert so many rows down."""
        keys = [alert.key for alert in _in_order(view)]
        chosen = chosen_alert(view)
        if chosen is None:
            return view
        at = keys.index(chosen.key) + step
        return replace(view, alert=keys[min(max(at, 0), len(keys) - 1)])

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette = view.palette
        if not view.watch.alerts:
            return [strip([("  No alerts", palette.text)], width, palette.text)]
        chosen = chosen_alert(view)
        rows: list[tuple[Alert | None, Strip]] = []
        for group in view.watch.groups:
            rows.append((None, group_row(view, group, width)))
            rows += [(alert, _row(view, alert, width, alert is chosen, 2)) for alert in group.alerts]
        if not view.watch.groups:
            rows = [(alert, _row(view, alert, width, alert is chosen, 0)) for alert in view.watch.alerts]
        at = next((i for i, (alert, _row) in enumerate(rows) if alert is chosen), 0)
        room = height - 1 if len(rows) > height else height
        first = min(max(0, at - room + 1), max(0, len(rows) - room))
        strips = [row for _alert, row in rows[first : first + room]]
        if len(rows) > room:
            more = f"  rows {first + 1} to {first + room} of {len(rows)}, {len(view.watch.alerts)} alerts"
            strips.append(strip([(more, palette.label)], width, palette.text))
        elif chosen is not None:
            strips += _whole_text(view, chosen, width, height - len(strips))
        return strips


def _in_order(view: View) -> list[Alert]:
    grouped = [alert for group in view.watch.groups for alert in group.alerts]
    return grouped or list(view.watch.alerts)


def _row(view: View, alert: Alert, width: int, is_chosen: bool, indent: int) -> Strip:
    return alert_row(view, alert, width, is_chosen=is_chosen, shade=True, indent=indent)


def _whole_text(view: View, alert: Alert, width: int, room: int) -> list[Strip]:
    """Return the text of the chosen alert in full, where its row had to cut it."""
    text, palette = safe(alert.text), view.palette
    if fit(text, width - text_at(width) - 1) == text:
        return []
    lines = wrap(text, width - 4)
    if len(lines) + 1 > room:
        return []
    blank = strip([], width, palette.text)
    return [blank, *[strip([(f"  {line}", palette.text)], width, palette.text) for line in lines]]
