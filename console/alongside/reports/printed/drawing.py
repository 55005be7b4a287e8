"""Drawing of the charts on pages that print, each a piece of SVG to stand within its page.

Drawn by matplotlib's SVG backend: no window, no network, text left as text. Only our own words go into a
chart; what comes from outside stands in the page around it, where it is escaped.
"""

import io
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import tzinfo
from html import escape
from math import isfinite
from typing import Any, Final

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.dates import AutoDateLocator, ConciseDateFormatter
from matplotlib.figure import Figure
from matplotlib.ticker import AutoLocator, MaxNLocator

from alongside.stay.model import Display, StageLimits
from alongside.stay.stage import Stage
from alongside.wording.times import offset_beside, zone_of

INK, SECOND, THIRD, GRID, TEXT = "#12507b", "#b4530a", "#5b6470", "#dde2e7", "#27313b"
BANDS: Final = {Stage.CAUTION: "#fff3bf", Stage.WARNING: "#ffd8a8", Stage.ALARM: "#ffb8b0"}
EDGES: Final = {Stage.CAUTION: "#b08900", Stage.WARNING: "#b4530a", Stage.ALARM: "#b3261e"}
DAY_S: Final = 86400.0
"""Matplotlib counts days."""
LEAST_S: Final = 60.0
"""A time axis is so long at least."""
STYLE: Final[Any] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "alongside",
    "text.parse_math": False,
    "font.family": "sans-serif",
    "font.size": 8.0,
    "text.color": TEXT,
    "axes.labelcolor": TEXT,
    "axes.edgecolor": "#9aa5b1",
    "axes.linewidth": 0.6,
    "axes.grid": True,
    "axes.axisbelow": True,
    "axes.titlesize": 8.0,
    "axes.titlelocation": "left",
    "axes.titleweight": "bold",
    "axes.spines.top": False,
    "axes.spines.right": False,
    "grid.color": GRID,
    "grid.linewidth": 0.5,
    "lines.linewidth": 1.1,
    "xtick.color": TEXT,
    "ytick.color": TEXT,
    "xtick.labelsize": 7.0,
    "ytick.labelsize": 7.0,
    "legend.frameon": False,
    "legend.fontsize": 7.0,
    "path.simplify_threshold": 0.2,
}


@dataclass(frozen=True, slots=True)
class Margins:
    """Room around the charts of a figure for ticks and titles, and between them, inches."""

    left: float = 0.38
    right: float = 0.06
    top: float = 0.22
    bottom: float = 0.38
    beside: float = 0.42
    above: float = 0.3


class Drawing:
    """Draws charts over the time from `begin` to `end`, UNIX s, for one page: every id within them occurs
    once in the whole page."""

    def __init__(self, begin: float, end: float, display: Display, margins: Margins = Margins()) -> None:
        self._begin, self._end, self.display = begin, max(end, begin + LEAST_S), display
        self._margins = margins
        self._drawn = 0

    @contextmanager
    def figure(
        self, down: int, across: int, size: tuple[float, float], what: str
    ) -> Iterator[tuple[Sequence[Axes], list[str]]]:
        """Return axes to draw on, of a figure of a size in inches, read out as `what`; when they are left,
        the list beside them holds the SVG."""
        done: list[str] = []
        with mpl.rc_context(STYLE):
            figure = Figure(figsize=size)
            axes = np.atleast_1d(figure.subplots(down, across, sharex=True)).ravel().tolist()
            _leave_room(figure, down, across, self._margins)
            yield axes, done
            for one in axes:
                self._time_axis(one)
            self._drawn += 1
            done.append(_svg(figure, f"c{self._drawn}", what))

    def _time_axis(self, axes: Axes) -> None:
        zone = zone_of(self.display)
        axes.set_xlim(self._begin / DAY_S, self._end / DAY_S)
        axes.xaxis_date(zone)
        locator = AutoDateLocator(tz=zone, minticks=3, maxticks=6)
        axes.xaxis.set_major_locator(locator)
        axes.xaxis.set_major_formatter(_Clock(locator, zone, self.display))
        if isinstance(axes.yaxis.get_major_locator(), AutoLocator):
            axes.yaxis.set_major_locator(MaxNLocator(4))


def _leave_room(figure: Figure, down: int, across: int, room: Margins) -> None:
    """Fixed margins: to find them out from the texts doubles the time of a report."""
    width, height = figure.get_size_inches()
    inner_width = (width - room.left - room.right - (across - 1) * room.beside) / across
    inner_height = (height - room.top - room.bottom - (down - 1) * room.above) / down
    figure.subplots_adjust(
        left=room.left / width,
        right=1.0 - room.right / width,
        top=1.0 - room.top / height,
        bottom=room.bottom / height,
        wspace=room.beside / inner_width,
        hspace=room.above / inner_height,
    )


class _Clock(ConciseDateFormatter):
    """Ticks as the page writes times: `06:00` within a day, `13 Sep` where one begins; with the offset near a
    change of the clocks."""

    def __init__(self, locator: AutoDateLocator, zone: tzinfo, display: Display) -> None:
        ticks = ["%Y", "%b", "%d %b", "%H:%M", "%H:%M", "%H:%M:%S"]
        besides = ["", "%Y", "%b %Y", "%d %b %Y", "%d %b %Y", "%d %b %Y %H:%M"]
        super().__init__(locator, zone, formats=ticks, zero_formats=["", *ticks[:5]], offset_formats=besides)
        self._display = display

    def format_ticks(self, values: Sequence[float]) -> list[str]:
        """Return the label of each tick, of values in days."""
        labels = super().format_ticks(values)
        times = [value * DAY_S for value in values]
        return [
            f"{label}{offset_beside(time, self._display)}" if ":" in label else label
            for label, time in zip(labels, times, strict=True)
        ]


def bands(axes: Axes, what: str, limits: StageLimits, up: bool = False) -> None:
    """Draw each stage as a band from its limit to the next, without stretching the axis; `up`: those of a
    line that leads upwards, below the level."""
    low, high = axes.get_ylim()
    used = [(stage, limit) for stage, limit in zip(BANDS, limits.as_tuple(), strict=True) if isfinite(limit)]
    ends = [*(limit for _, limit in used[1:]), 10.0 * high]
    sign, mark = (-1.0, "_up") if up else (1.0, "")
    for (stage, limit), end in zip(used, ends, strict=True):
        band = axes.axhspan(*sorted((sign * limit, sign * end)), color=BANDS[stage], linewidth=0, zorder=0.2)
        band.set_gid(f"{what}_{stage.word}{mark}")
        axes.axhline(sign * limit, color=EDGES[stage], linewidth=0.6, zorder=0.4)
    axes.set_ylim(low, high)


def _svg(figure: Figure, prefix: str, what: str) -> str:
    """The figure as an element for the page, read out as `what`: ids its own, no declaration, nothing that
    names an address."""
    written = io.StringIO()
    nothing = dict.fromkeys(("Date", "Creator", "Format", "Type"))
    FigureCanvasSVG(figure).print_svg(written, metadata=nothing)
    text = written.getvalue()
    text = text[text.index("<svg") :]
    text = re.sub(r'\sxmlns(:\w+)?="[^"]*"', "", text).replace("xlink:href", "href")
    text = re.sub(r'(\sid="|url\(#|href="#)', rf"\1{prefix}-", text)
    text = re.sub(r'\s(width|height)="[\d.]+pt"', "", text, count=2)
    return text.replace("<svg", f'<svg role="img" aria-label="{escape(what)}"', 1)
