"""What keys choose of a chart: its series, hours, lines, and where its cursor stands."""

from dataclasses import replace
from typing import Final

from alongside.screens.chart_series import choices
from alongside.screens.chart_shown import shown_of
from alongside.screens.view import CHART_LINES, HOURS, View

CURSOR_STEPS: Final = 90
"""Steps of the cursor over the whole of a chart."""


def other_series(view: View, step: int) -> View:
    """Return the View with the next or former series of `choices`."""
    names = choices(view)
    at = names.index(view.series) if view.series in names else 0
    return replace(view, series=names[(at + step) % len(names)])


def other_hours(view: View, step: int) -> View:
    """Return the View with a longer (+) or shorter (-) chart."""
    at = HOURS.index(view.hours) + step
    return replace(view, hours=HOURS[min(max(at, 0), len(HOURS) - 1)])


def other_lines(view: View, step: int) -> View:
    """Return the View with a chart of one line, of all of its role, or of all."""
    at = CHART_LINES.index(view.chart_lines) + step
    return replace(view, chart_lines=CHART_LINES[at % len(CHART_LINES)])


def other_cursor(view: View, step: int) -> View:
    """Return the View with the cursor of the chart a little earlier (-) or later (+); the first time it
    stands at now, beyond the right end it goes."""
    shown = shown_of(view)
    window = shown.window
    if window is None:
        return view
    if view.chart_at is None:
        return replace(view, chart_at=float(shown.past.time[-1]))
    moved = view.chart_at + step * (window.end - window.start) / CURSOR_STEPS
    if moved > window.end + 1.0:
        return replace(view, chart_at=None)
    return replace(view, chart_at=min(max(moved, window.start), window.end))
