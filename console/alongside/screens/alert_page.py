"""The page of alerts: worst first, in a flood grouped by cause, at least 20 at a time."""

from dataclasses import replace
from typing import Final

from textual.strip import Strip

from alongside.alerts.course import course_text
from alongside.alerts.joined import Row, rows_of
from alongside.alerts.model import Alert, Group
from alongside.screens.alert_rows import alert_row, group_row, no_alerts, text_at, whole_text
from alongside.screens.board import Board
from alongside.screens.rows import fit, strip, wrap
from alongside.screens.view import View, chosen_alert
from alongside.wording.cautions import SNAP_BACK

DENSE: Final = 20
"""Rows up to which all go to alerts; how many there are stands in the row above."""
ANSWER: Final = "When somebody has looked: x, slipped or held"


class AlertPage(Board):
    def move(self, view: View, step: int) -> View:
        """Choose the alert so many rows down."""
        rows = [entry for entry in _entries(view) if not isinstance(entry, Group)]
        chosen = chosen_alert(view)
        if chosen is None:
            return view
        at = next(at for at, row in enumerate(rows) if chosen in row) + step
        return replace(view, alert=rows[min(max(at, 0), len(rows) - 1)][0].key)

    def alerts(self, view: View, height: int) -> list[Alert]:
        entries = _entries(view)
        first, room = _window(view, entries, height)
        rows = [entry for entry in entries[first : first + room] if not isinstance(entry, Group)]
        return [alert for row in rows for alert in row]

    def clicked(self, view: View, x: int, y: int) -> View:
        """Choose the alert whose row is there."""
        entries = _entries(view)
        first, room = _window(view, entries, self.size.height)
        shown = entries[first : first + room]
        entry = shown[y] if y < len(shown) else None
        return view if entry is None or isinstance(entry, Group) else replace(view, alert=entry[0].key)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette = view.palette
        if not view.watch.alerts:
            return [strip([(f"  {no_alerts(view.watch)}", palette.text)], width, palette.text)]
        chosen, entries = chosen_alert(view), _entries(view)
        first, room = _window(view, entries, height)
        indent = 2 if view.watch.groups else 0
        strips = [
            group_row(view, entry, width)
            if isinstance(entry, Group)
            else alert_row(view, entry, width, is_chosen=chosen in entry, shade=True, indent=indent)
            for entry in entries[first : first + room]
        ]
        if len(entries) > room and height > DENSE:
            more = f"  rows {first + 1} to {first + room} of {len(entries)}, {len(view.watch.alerts)} alerts"
            strips.append(strip([(more, palette.label)], width, palette.text))
        elif chosen is not None:
            row = next(entry for entry in entries if not isinstance(entry, Group) and chosen in entry)
            strips += _more_of(view, row, width, height - len(strips))
        return strips


def _entries(view: View) -> list[Row | Group]:
    """Return what has a row, in order: alerts, joined where they are one situation; in a flood each by itself
    below its group."""
    if not view.watch.groups:
        return list(rows_of(view.watch.alerts))
    entries: list[Row | Group] = []
    for group in view.watch.groups:
        entries += [group, *((alert,) for alert in group.alerts)]
    return entries


def _window(view: View, entries: list[Row | Group], height: int) -> tuple[int, int]:
    """Return the first row in sight and how many there are: the chosen alert is always among them."""
    chosen = chosen_alert(view)
    at = next((i for i, entry in enumerate(entries) if not isinstance(entry, Group) and chosen in entry), 0)
    room = height - 1 if len(entries) > height > DENSE else height
    return min(max(0, at - room + 1), max(0, len(entries) - room)), room


def _more_of(view: View, row: Row, width: int, room: int) -> list[Strip]:
    """Return below the list what its chosen row had no room for: each text whole, how it came to its stage,
    who acknowledged it; as many of these as fit, whole."""
    alert, palette, watch = row[0], view.palette, view.watch
    text = whole_text(view, row)
    is_whole = len(row) == 1 and fit(text, width - text_at(width) - 1) == text
    lines = [] if is_whole else [whole_text(view, (each,)) for each in row]
    if alert.cause == "brake" and any(each.asked and each.id == alert.line for each in watch.lines):
        lines += [SNAP_BACK, ANSWER]
    lines.append(course_text(alert, watch.log, view.stay.display, watch.time))
    shown = [""]
    for line in filter(None, lines):
        wrapped = wrap(line, width - 4)
        if len(shown) + len(wrapped) <= room:
            shown += wrapped
    return [strip([(f"  {line}", palette.text)], width, palette.text) for line in shown if len(shown) > 1]
