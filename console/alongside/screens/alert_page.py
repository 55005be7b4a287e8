"""The page of alerts: worst first, in a flood grouped by cause, at least 20 at a time."""

from dataclasses import replace
from typing import Final

from textual.strip import Strip

from alongside.alerts.model import Alert, Group
from alongside.screens.alert_rows import alert_row, group_row, text_at
from alongside.screens.board import Board
from alongside.screens.rows import fit, strip, wrap
from alongside.screens.view import View, chosen_alert
from alongside.wording.cautions import SNAP_BACK
from alongside.wording.safe import safe

ANSWER: Final = "When somebody has looked: x, slipped or held"


class AlertPage(Board):
    def move(self, view: View, step: int) -> View:
        """Choose the alert so many rows down."""
        keys = [alert.key for alert in _in_order(view)]
        chosen = chosen_alert(view)
        if chosen is None:
            return view
        at = keys.index(chosen.key) + step
        return replace(view, alert=keys[min(max(at, 0), len(keys) - 1)])

    def alerts(self, view: View, height: int) -> list[Alert]:
        entries = _entries(view)
        first, room = _window(view, entries, height)
        return [entry for entry in entries[first : first + room] if isinstance(entry, Alert)]

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette = view.palette
        if not view.watch.alerts:
            return [strip([("  No alerts", palette.text)], width, palette.text)]
        chosen, entries = chosen_alert(view), _entries(view)
        first, room = _window(view, entries, height)
        indent = 2 if view.watch.groups else 0
        strips = [
            alert_row(view, entry, width, is_chosen=entry is chosen, shade=True, indent=indent)
            if isinstance(entry, Alert)
            else group_row(view, entry, width)
            for entry in entries[first : first + room]
        ]
        if len(entries) > room:
            more = f"  rows {first + 1} to {first + room} of {len(entries)}, {len(view.watch.alerts)} alerts"
            strips.append(strip([(more, palette.label)], width, palette.text))
        elif chosen is not None:
            strips += _whole_text(view, chosen, width, height - len(strips))
        return strips


def _entries(view: View) -> list[Alert | Group]:
    """Return what has a row, in order: alerts, in a flood those of each group below it."""
    if not view.watch.groups:
        return list(view.watch.alerts)
    entries: list[Alert | Group] = []
    for group in view.watch.groups:
        entries += [group, *group.alerts]
    return entries


def _window(view: View, entries: list[Alert | Group], height: int) -> tuple[int, int]:
    """Return the first row in sight and how many there are: the chosen alert is always among them."""
    chosen = chosen_alert(view)
    at = next((i for i, entry in enumerate(entries) if entry is chosen), 0)
    room = height - 1 if len(entries) > height else height
    return min(max(0, at - room + 1), max(0, len(entries) - room)), room


def _in_order(view: View) -> list[Alert]:
    grouped = [alert for group in view.watch.groups for alert in group.alerts]
    return grouped or list(view.watch.alerts)


def _whole_text(view: View, alert: Alert, width: int, room: int) -> list[Strip]:
    """Return the text of the chosen alert in full, where its row had to cut it."""
    text, palette = safe(alert.text), view.palette
    asks = alert.cause == "brake" and any(row.asked and row.id == alert.line for row in view.watch.lines)
    if not asks and fit(text, width - text_at(width) - 1) == text:
        return []
    lines = wrap(text, width - 4)
    if asks:
        lines += [*wrap(SNAP_BACK, width - 4), ANSWER]
    if len(lines) + 1 > room:
        return []
    blank = strip([], width, palette.text)
    return [blank, *[strip([(f"  {line}", palette.text)], width, palette.text) for line in lines]]
