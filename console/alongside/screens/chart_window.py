"""Which part of the world a chart shows, its scales, and the past thinned to it."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.readings import Floats
from alongside.stay.model import Display
from alongside.wording.figures import figure
from alongside.wording.times import CHANGE_S, changes, clock, local

GAP_AFTER: Final = 3.5
"""A step between samples this many times the usual one is a gap."""
MARGIN: Final = 0.06
"""Share of the height left free above and below what matters."""
LEAST_HEIGHT: Final = 0.1
_EVERY_H: Final = (1 / 60, 1 / 30, 1 / 12, 1 / 6, 0.25, 0.5, 1, 2, 3, 4, 6, 12, 24)
"""Hours between labels of the time scale."""


@dataclass(frozen=True, slots=True)
class Window:
    """Times, UNIX s, and values at the edges of the plot."""

    start: float
    end: float
    low: float
    high: float

    def across(self, time: Floats, width: int) -> Floats:
        return (time - self.start) / (self.end - self.start) * (width - 1)

    def down(self, value: Floats, height: int) -> Floats:
        return (self.high - value) / (self.high - self.low) * (height - 1)

    def row(self, value: float, rows: int) -> int:
        """Return the row of cells in which a value lies, which may be outside."""
        return round(float(self.down(np.array([value]), rows * 4)[0])) // 4

    def column(self, time: float, columns: int) -> int:
        """Return the column of cells in which a time lies, which may be outside."""
        return round(float(self.across(np.array([time]), columns * 2)[0])) // 2


def fitted(values: Iterable[Floats], levels: Iterable[float]) -> tuple[float, float]:
    """Return the least and greatest value of an axis that holds all values, each limit that lies between
    them, and the nearest one beyond them; not 0 unless that is among these. NaN where nothing is known."""
    known = [each[np.isfinite(each)] for each in values]
    known = [each for each in known if each.size]
    if not known:
        return math.nan, math.nan
    low, high = min(float(each.min()) for each in known), max(float(each.max()) for each in known)
    beyond = [level for level in levels if math.isfinite(level) and not low <= level <= high]
    if beyond:
        nearest = min(beyond, key=lambda level: max(low - level, level - high))
        low, high = min(low, nearest), max(high, nearest)
    spare = max((high - low) * MARGIN, (LEAST_HEIGHT - (high - low)) / 2.0)
    return low - spare, high + spare


def with_holes(time: Floats, value: Floats) -> tuple[Floats, Floats]:
    """Return times (n,) and values (n, k) with a row of NaN put into every hole in time."""
    steps = np.diff(time)
    if not steps.size:
        return time, value
    holes = np.flatnonzero(steps > GAP_AFTER * float(np.median(steps))) + 1
    return np.insert(time, holes, time[holes - 1]), np.insert(value, holes, np.nan, axis=0)


def thinned(time: Floats, value: Floats, window: Window, dots: int) -> tuple[Floats, Floats]:
    """Return the least and greatest value of each of so many columns of dots, one after the other, and NaN
    where something within is not known: what is a gap stays one. As it is where that is not more."""
    if time.size <= 3 * dots:
        return time, value
    column = np.floor(window.across(time, dots) + 0.5).astype(np.intp)
    begins = np.concatenate([[0], np.flatnonzero(np.diff(column)) + 1])
    low, high = np.fmin.reduceat(value, begins, axis=0), np.fmax.reduceat(value, begins, axis=0)
    unknown = np.logical_or.reduceat(np.isnan(value), begins, axis=0)
    parts = np.stack([low, high, np.where(unknown, np.nan, high)], axis=1)
    return np.repeat(time[begins], 3), parts.reshape(3 * begins.size, value.shape[1])


def scale(window: Window, rows: int) -> dict[int, str]:
    """Return round values at the rows where they lie, so that the scale can be read off: two at least where
    there is a row for each, for one alone says nothing of the others."""
    marks: dict[int, str] = {}
    for apart in (3.0, 2.0, 1.0):
        marks = _marks(window, rows, _round_step((window.high - window.low) / max(rows / apart, 1.0)))
        if len(marks) > 1:
            break
    return marks


def _marks(window: Window, rows: int, step: float) -> dict[int, str]:
    digits = max(0, -math.floor(math.log10(step) + 1e-9))
    first = math.ceil(window.low / step - 1e-9)
    marks: dict[int, str] = {}
    for k in range(first, first + 50):
        value = k * step
        if value > window.high:
            break
        row = int(window.down(np.array([value]), rows * 4)[0]) // 4
        marks.setdefault(row, figure(value, digits))
    return marks


def _round_step(least: float) -> float:
    """Return the smallest of 1, 2, 5 times a power of ten that is not less."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(factor * power for factor in (1.0, 2.0, 5.0, 10.0) if factor * power >= least * (1 - 1e-9))


def time_labels(display: Display, window: Window, columns: int) -> str:
    """Return local times at whole hours, as many as fit side by side in so many cells, with their offsets
    near a change of the clocks. Where the clocks change within, the hours are whole by those of the end."""
    hours = (window.end - window.start) / 3600.0
    apart = 15 if changes(window.start - CHANGE_S, window.end + CHANGE_S, display) else 9
    every = next(h for h in _EVERY_H if columns / (hours / h) >= apart or h == _EVERY_H[-1])
    text = [" "] * columns
    offset, free_from = _zone_offset(window.end, display), 0
    first = math.ceil((window.start + offset) / (every * 3600.0)) * every * 3600.0 - offset
    time = first
    while time <= window.end:
        label = clock(time, display, "%H:%M")
        at = round((time - window.start) / (window.end - window.start) * (columns - 1))
        if at >= free_from and at + len(label) < columns:
            text[at : at + len(label) + 1] = list("╵" + label)
            free_from = at + len(label) + 2
        time += every * 3600.0
    return "".join(text)


def _zone_offset(time: float, display: Display) -> float:
    offset = local(time, display).utcoffset()
    return offset.total_seconds() if offset is not None else 0.0
