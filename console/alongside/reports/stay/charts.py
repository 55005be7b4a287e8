"""The charts of the report, each a piece of SVG to stand within the page.

Drawn by matplotlib's SVG backend: no window, no network, text left as text. Only our own words go into a
chart; what comes from outside stands in the page around it, where it is escaped.
"""

import io
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
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
from matplotlib.ticker import MaxNLocator

from alongside.mechanics.holding_search import CAP_MS
from alongside.readings import Floats
from alongside.reports.stay.holding_history import HoldingHistory
from alongside.reports.stay.line_figures import LineFigures
from alongside.reports.stay.record_arrays import RecordArrays, Singles
from alongside.reports.stay.thinning import thin
from alongside.stay.model import Display, StageLimits, Stay
from alongside.stay.stage import Stage
from alongside.wording.figures import force, force_text, held_speed, lead, percent, speed
from alongside.wording.safe import safe
from alongside.wording.times import offset_beside, zone_of

INK, SECOND, THIRD, GRID, TEXT = "#12507b", "#b4530a", "#5b6470", "#dde2e7", "#27313b"
BANDS: Final = {Stage.CAUTION: "#fff3bf", Stage.WARNING: "#ffd8a8", Stage.ALARM: "#ffb8b0"}
EDGES: Final = {Stage.CAUTION: "#b08900", Stage.WARNING: "#b4530a", Stage.ALARM: "#b3261e"}
DAY_S: Final = 86400.0
ALL_OF_IT: Final = 1.15
"""Charts of shares reach to here at least, so that lines can be compared at a glance."""
LEFT_IN, RIGHT_IN, TOP_IN, BOTTOM_IN = 0.38, 0.06, 0.22, 0.38
"""Margins of a figure, inches."""
BETWEEN_IN, ABOVE_IN = 0.42, 0.3
"""Between charts side by side, and one above the other."""
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


class Charts:
    """Draws the charts of one record. Every id within them occurs once in the whole page."""

    def __init__(self, arrays: RecordArrays) -> None:
        self._arrays = arrays
        self._display = arrays.stay.display
        self._drawn = 0

    def water(self) -> str:
        """Return tide over draughts over trim."""
        with self._figure(3, 1, (9.6, 4.6), "Tide, draughts and trim over the stay") as (rows, done):
            tide, draughts, trim = rows
            self._line(tide, "tide", INK)
            tide.set_title("Tide, m above chart datum")
            self._line(draughts, "draught_fwd", INK, "forward")
            self._line(draughts, "draught_aft", SECOND, "aft")
            draughts.set_title("Draughts, m (deeper is lower)")
            draughts.invert_yaxis()
            _legend(draughts)
            self._line(trim, "trim", INK, "trim, m by the stern")
            trim.set_title("Trim, m by the stern")
            if np.isfinite(self._arrays.number["heel_deg"]).any():
                trim.set_title("Trim, m by the stern; heel, degrees to starboard")
                self._line(trim, "heel_deg", SECOND, "heel")
                _legend(trim)
        return done[0]

    def wind(self, holding: HoldingHistory | None) -> str:
        """Return the wind, with what the lines hold where that is known."""
        unit = self._display.speed
        with self._figure(1, 1, (9.6, 2.7), "Wind against holding power") as (rows, done):
            (axes,) = rows
            scale = speed(1.0, self._display)
            self._line(axes, "wind_gust_ms", "#9db8cc", "gusts", scale)
            self._line(axes, "wind_ms", INK, "30 s mean", scale)
            if holding is not None:
                # A search that ended without an answer is no figure: it holds more than can be drawn.
                holds = np.where(holding.holds_ms < CAP_MS, holding.holds_ms, np.nan)
                time, holds = _broken_at_gaps(holding.time, holds * scale)
                axes.step(time / DAY_S, holds, color=EDGES[Stage.ALARM], where="post", label="lines hold")
                axes.lines[-1].set_gid("holds_ms")
                self._search_ended(axes, holding, scale)
            beside = "" if holding is None else ", and what the lines hold from where it blew"
            axes.set_title(f"Wind, {unit}{beside}")
            axes.set_ylim(bottom=0.0)
            _legend(axes)
        return done[0]

    def _search_ended(self, axes: Axes, holding: HoldingHistory, scale: float) -> None:
        """Mark where they hold more than the search went to: no figure, but not unknown either."""
        if not (holding.holds_ms >= CAP_MS).any():
            return
        beyond = np.where(holding.holds_ms >= CAP_MS, CAP_MS * scale, np.nan)
        time, beyond = _broken_at_gaps(holding.time, beyond)
        axes.step(time / DAY_S, beyond, color=EDGES[Stage.ALARM], linestyle=":", where="post")
        axes.lines[-1].set_gid("holds_more")
        first = time[np.flatnonzero(np.isfinite(beyond))[0]] / DAY_S
        words = held_speed(CAP_MS, self._display, CAP_MS)
        axes.text(first, CAP_MS * scale, f" hold {words}", va="top", fontsize=7.0, color=EDGES[Stage.ALARM])

    def line(self, one: LineFigures, stay: Stay) -> str:
        """Return stretch, load and lead of one line, each with its limits as bands."""
        line = one.line
        with self._figure(1, 3, (9.6, 1.9), self._of_line(one)) as (cells, done):
            stretch, load, steep = cells
            self._share(stretch, f"stretch_share.{line.id}", stay.limits.stretch_share)
            stretch.set_title("Stretch, % of allowance")
            wll = force(line.smallest_wll_kn, self._display)
            self._line(load, f"tension_kn.{line.id}", INK, scale=force(1.0, self._display))
            load.set_ylim(0.0, _top(load, ALL_OF_IT * wll))
            _bands(load, "load", _scaled(stay.limits.load_share, wll))
            self._brake(load, one, stay)
            load.set_title(f"Load, {self._display.force}")
            self._line(steep, f"vertical_deg.{line.id}", INK)
            angles = [limit for limit in stay.limits.steep_deg.as_tuple() if isfinite(limit)]
            steep.set_ylim(_bottom(steep), _top(steep, ALL_OF_IT * max(angles, default=45.0)))
            _bands(steep, "steep", stay.limits.steep_deg)
            if steep.get_ylim()[0] < 0.0:
                _bands(steep, "steep", stay.limits.steep_deg, up=True)
            steep.set_title("Lead below the horizontal, degrees")
            for axes in cells:
                self._tendings(axes, line.id)
        return done[0]

    def _of_line(self, one: LineFigures) -> str:
        """The chart of a line in words, for readers who do not see it."""
        return (
            f"Stretch, load and lead of line {safe(one.line.id)} over the stay: highest stretch "
            f"{percent(one.stretch_share.value)}, highest load "
            f"{force_text(one.tension_kn.value, self._display)}, steepest lead {lead(one.vertical_deg.value)}"
        )

    # Parts of charts

    def _share(self, axes: Axes, name: str, limits: StageLimits) -> None:
        self._line(axes, name, INK, scale=100.0)
        axes.set_ylim(0.0, _top(axes, 100.0 * ALL_OF_IT))
        _bands(axes, "stretch", _scaled(limits, 100.0))

    def _line(self, axes: Axes, name: str, colour: str, label: str = "", scale: float = 1.0) -> None:
        values: Singles | Floats = self._arrays.number[name]
        time, value = thin(self._arrays.time, values)
        (drawn,) = axes.plot(time / DAY_S, value * scale, color=colour, label=label or None)
        drawn.set_gid(name.partition(".")[0])

    def _brake(self, axes: Axes, one: LineFigures, stay: Stay) -> None:
        winch = None if one.line.winch is None else stay.ship.winches.get(one.line.winch)
        if winch is None or winch.holding_kn is None:
            return
        holds = force(winch.holding_kn, self._display)
        if holds < axes.get_ylim()[1]:
            axes.axhline(holds, color=THIRD, linewidth=0.8, linestyle=(0, (1, 1.5)))
            axes.annotate("brake", (1.0, holds), xycoords=("axes fraction", "data"), ha="right", va="top",
                          fontsize=6.5, color=THIRD)  # fmt: skip

    def _tendings(self, axes: Axes, line: str) -> None:
        for event in self._arrays.events:
            if event.event == "tended" and event.line == line:
                axes.axvline(event.time / DAY_S, color=TEXT, linewidth=0.7, linestyle=(0, (3, 2)))

    @contextmanager
    def _figure(
        self, down: int, across: int, size: tuple[float, float], what: str
    ) -> Iterator[tuple[Sequence[Axes], list[str]]]:
        """Axes to draw on; when they are left, the list beside them holds the SVG."""
        done: list[str] = []
        with mpl.rc_context(STYLE):
            figure = Figure(figsize=size)
            axes = np.atleast_1d(figure.subplots(down, across, sharex=True)).ravel().tolist()
            _set_margins(figure, down, across)
            yield axes, done
            for one in axes:
                self._time_axis(one)
            self._drawn += 1
            done.append(_svg(figure, f"c{self._drawn}", what))

    def _time_axis(self, axes: Axes) -> None:
        zone = zone_of(self._display)
        begin, end = self._arrays.begin / DAY_S, self._arrays.end / DAY_S
        axes.set_xlim(begin, max(end, begin + 60.0 / DAY_S))
        axes.xaxis_date(zone)
        locator = AutoDateLocator(tz=zone, minticks=3, maxticks=6)
        axes.xaxis.set_major_locator(locator)
        axes.xaxis.set_major_formatter(_Clock(locator, zone, self._display))
        axes.yaxis.set_major_locator(MaxNLocator(4))


def _set_margins(figure: Figure, down: int, across: int) -> None:
    """Leave room for ticks and titles. Fixed: to find it out from the texts doubles the time of a report."""
    width, height = figure.get_size_inches()
    inner_width = (width - LEFT_IN - RIGHT_IN - (across - 1) * BETWEEN_IN) / across
    inner_height = (height - TOP_IN - BOTTOM_IN - (down - 1) * ABOVE_IN) / down
    figure.subplots_adjust(
        left=LEFT_IN / width,
        right=1.0 - RIGHT_IN / width,
        top=1.0 - TOP_IN / height,
        bottom=BOTTOM_IN / height,
        wspace=BETWEEN_IN / inner_width,
        hspace=ABOVE_IN / inner_height,
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


def _broken_at_gaps(time: Floats, values: Floats) -> tuple[Floats, Floats]:
    """Values that lie about evenly, with a NaN where some are missing between two."""
    steps = np.diff(time)
    gaps = np.flatnonzero(steps > 2.0 * np.median(steps)) + 1 if steps.size else np.zeros(0, dtype=np.intp)
    return np.insert(time, gaps, time[gaps - 1]), np.insert(values, gaps, np.nan)


def _legend(axes: Axes) -> None:
    axes.legend(loc="lower right", bbox_to_anchor=(1.0, 0.98), ncols=3, borderpad=0.0, handlelength=1.4)


def _top(axes: Axes, least: float) -> float:
    """How far up a chart reaches: all of it, or as far as what is drawn."""
    highest = max((float(np.nanmax(y)) for y in _drawn(axes) if np.isfinite(y).any()), default=0.0)
    return max(least, 1.05 * highest)


def _bottom(axes: Axes) -> float:
    """0, or below what is drawn: a line may lead upwards."""
    lowest = min((float(np.nanmin(y)) for y in _drawn(axes) if np.isfinite(y).any()), default=0.0)
    return min(0.0, 1.05 * lowest)


def _drawn(axes: Axes) -> Iterator[Floats]:
    for line in axes.lines:
        yield np.asarray(line.get_ydata(), dtype=np.float64)


def _scaled(limits: StageLimits, by: float) -> StageLimits:
    caution, warning, alarm = (None if not isfinite(limit) else limit * by for limit in limits.as_tuple())
    return StageLimits(caution, warning, alarm)


def _bands(axes: Axes, what: str, limits: StageLimits, up: bool = False) -> None:
    """Each stage as a band from its limit to the next, without stretching the axis; `up`: those of a line
    that leads upwards, below the level."""
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
