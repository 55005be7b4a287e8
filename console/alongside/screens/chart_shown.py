"""All that a chart is drawn from: past, what is expected, and the axes that hold both."""

from dataclasses import dataclass
from math import isfinite, nan
from typing import Final

import numpy as np

from alongside.readings import Floats
from alongside.screens.chart_coming import Coming, coming_of
from alongside.screens.chart_series import Past, Trace, known_before, past_of, trace_of
from alongside.screens.chart_window import GAP_AFTER, Window, fitted
from alongside.screens.view import View

LEAST_S: Final = 600.0
"""A young watch's chart spans this at the least."""
TO_COME: Final = 0.5
"""Of the hours shown, so much as many again of the hours to come."""
LEAST_AHEAD_S: Final = 3600.0
"""No more is shown to come than there is of the past, but this at the least."""


@dataclass(frozen=True, slots=True)
class Shown:
    """All that a chart is drawn from; `window` None where nothing is known."""

    trace: Trace
    past: Past
    coming: Coming | None
    window: Window | None


def shown_of(view: View) -> Shown:
    """Return what the chart of a View shows, and the axes that hold it."""
    trace, history = trace_of(view), view.figures.history
    since = float(history.time[-1]) - view.hours * 3600.0 if history.time.size else nan
    past, coming = past_of(view, trace, since), coming_of(view, trace)
    start, now = _past_hours(view, trace, past)
    if not isfinite(start):
        return Shown(trace, past, None, None)
    end = now
    if coming is not None:
        rows = coming.time <= now + min(TO_COME * view.hours * 3600.0, max(now - start, LEAST_AHEAD_S))
        parts = (part[rows] for part in (coming.time, coming.expected, coming.low, coming.high))
        coming = Coming(*parts) if rows.any() else None
        end = now if coming is None else float(coming.time[-1])
    values = [past.value, *([] if coming is None else [coming.expected, coming.low[:, 0], coming.high[:, 0]])]
    low, high = fitted(values, trace.levels)
    return Shown(trace, past, coming, Window(start, max(end, start + LEAST_S), low, high))


def _past_hours(view: View, trace: Trace, past: Past) -> tuple[float, float]:
    """Return from when to when the past is shown: the last hours, but from no earlier than the first that is
    known of it at all; NaN where nothing is."""
    known = np.isfinite(past.value).any(axis=1)
    if not known.any():
        return nan, nan
    now = float(past.time[-1])
    begin = now - view.hours * 3600.0
    first = float(past.time[known.argmax()])
    return (begin if known_before(view, trace, begin) else max(begin, first)), now


def values_at(shown: Shown, time: float) -> tuple[Floats, bool]:
    """Return the values (k,) at a time, and whether they are expected ones; NaN in a gap."""
    past, coming = shown.past, shown.coming
    if coming is not None and time > past.time[-1]:
        return near(coming.time, coming.expected, time), True
    at = int(np.abs(past.time - time).argmin())
    usual = float(np.median(np.diff(past.time))) if past.time.size > 1 else np.inf
    if abs(past.time[at] - time) > GAP_AFTER * usual:
        return np.full(past.value.shape[1], nan), False
    return past.value[at], False


def near(time: Floats, values: Floats, at: float) -> Floats:
    """Return the row of values (n, k) of the nearest time."""
    row: Floats = values[int(np.abs(time - at).argmin())]
    return row
