"""The alerts at the foot of the page: the chosen one, whole, the next ones, how many more."""

from dataclasses import replace

from textual.strip import Strip

from alongside.alerts.joined import Row, rows_of
from alongside.alerts.model import Alert
from alongside.screens.alert_rows import alert_row, group_row, no_alerts, text_at, whole_text
from alongside.screens.board import Board
from alongside.screens.rows import fit, strip
from alongside.screens.view import View, chosen_alert

WRAPS_FROM = 4
"""Rows from which the chosen alert may take two."""


class AlertStrip(Board):
    def rows_wanted(self, view: View, width: int, height: int) -> int:
        """Return few rows on a small screen; more on a tall one, always the same number, so that nothing
        jumps."""
        return 4 if height < 30 else (4 if height < 44 else 8)

    def alerts(self, view: View, height: int) -> list[Alert]:
        rows = [] if view.watch.groups else _in_order(view)
        if rows and height >= WRAPS_FROM and _rest_of(view, self.size.width) is not None:
            height -= 1
        return [alert for row in (rows if len(rows) <= height else rows[: height - 1]) for alert in row]

    def clicked(self, view: View, x: int, y: int) -> View:
        """Choose the alert whose row is there."""
        height, rows = self.size.height, [] if view.watch.groups else _in_order(view)
        if rows and height >= WRAPS_FROM and _rest_of(view, self.size.width) is not None:
            y, height = max(y - 1, 0), height - 1
        shown = rows if len(rows) <= height else rows[: height - 1]
        return replace(view, alert=shown[y][0].key) if y < len(shown) else view

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette, picture = view.palette, view.watch
        if not picture.alerts:
            return [strip([(f"  {no_alerts(picture)}", palette.label)], width, palette.text)]
        if picture.groups:
            rows = [group_row(view, group, width) for group in picture.groups]
            return _cut(view, rows, width, height, "causes")
        chosen = chosen_alert(view)
        rows = [alert_row(view, row, width, is_chosen=chosen in row) for row in _in_order(view)]
        under = _rest_of(view, width) if height >= WRAPS_FROM else None
        if under is None:
            return _cut(view, rows, width, height, "alerts")
        first, *others = rows
        return [first, under, *_cut(view, others, width, height - 2, "alerts")]


def _rest_of(view: View, width: int) -> Strip | None:
    """Return what the row of the chosen alert had no room for, as another row; None where it is whole."""
    text, at = whole_text(view, _in_order(view)[0]), text_at(width)
    shown = fit(text, width - at - 1)
    if shown == text:
        return None
    rest = text[len(shown.removesuffix("…")) :].strip(" ,;:")
    return strip([(" " * at + fit(rest, width - at - 1), view.palette.strong)], width, view.palette.text)


def _in_order(view: View) -> list[Row]:
    """Return all alerts as rows, the chosen one first."""
    chosen = chosen_alert(view)
    return sorted(rows_of(view.watch.alerts), key=lambda row: chosen not in row)


def _cut(view: View, rows: list[Strip], width: int, height: int, what: str) -> list[Strip]:
    if len(rows) <= height:
        return rows
    more = f"  {len(rows) - height + 1} more {what} on page 5"
    return [*rows[: height - 1], strip([(more, view.palette.label)], width, view.palette.text)]
