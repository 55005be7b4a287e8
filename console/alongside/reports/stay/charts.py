"""The charts of the report, each a piece of SVG to stand within the page.

Drawn by matplotlib's SVG backend: no window, no network, text left as text. Only our own words go into a
chart; what comes from outside stands in the page around it, where it is escaped.
"""

import io
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import tzinfo
from math import isfinite
from typing import Any, Final

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.dates import AutoDateLocator, ConciseDateFormatter
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from alongside.readings import Floats
from alongside.reports.stay.figures import LineFigures
from alongside.reports.stay.record_arrays import Gathered, Singles
from alongside.reports.stay.shown import Shown
from alongside.reports.stay.thinned import thinned
from alongside.reports.stay.wind_held import WindHeld
from alongside.stay.model import StageLimits, Stay
from alongside.stay.stage import Stage

INK, SECOND, THIRD, GRID, TEXT = "#12507b", "#b4530a", "#5b6470", "#dde2e7", "#27313b"
BANDS: Final = {Stage.CAUTION: "#fff3bf", Stage.WARNING: "#ffd8a8", Stage.ALARM: "#ffb8b0"}
EDGES: Final = {Stage.CAUTION: "#b08900", Stage.WARNING: "#b4530a", Stage.ALARM: "#b3261e"}
DAY_S: Final = 86400.0
ALL_OF_IT: Final = 1.15
"""Charts of shares reach to here at least, so that lines can be compared at a glance."""
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
    """Draws the charts of one record. Every id within them is its own in the whole page."""

    def __init__(self, told: Gathered) -> None:
        self._told = told
        self._shown = Shown(told.stay.display)
        self._drawn = 0

    def water(self) -> str:
        """Tide over draughts over trim."""
        with self._figure(3, 1, (9.6, 4.6), "Tide, draughts and trim over the stay") as (rows, done):
            tide, draughts, trim = rows
            self._line(tide, "tide", INK)
            tide.set_title("Tide, m above chart datum")
            self._line(draughts, "draught_fwd", INK, "forward")
            self._line(draughts, "draught_aft", SECOND, "aft")
            draughts.set_title("Draughts, m")
            draughts.invert_yaxis()
            _legend(draughts)
            self._line(trim, "trim", INK, "trim, m by the stern")
            trim.set_title("Trim, m by the stern")
            if np.isfinite(self._told.number["heel_deg"]).any():
                trim.set_title("Trim, m by the stern; heel, degrees to starboard")
                self._line(trim, "heel_deg", SECOND, "heel")
                _legend(trim)
        return done[0]

    def wind(self, held: WindHeld | None) -> str:
        """The wind, with what the set could hold where that is known."""
        with self._figure(1, 1, (9.6, 2.7), "Wind against holding power") as (rows, done):
            (axes,) = rows
            speed = self._shown.in_speed(1.0)
            self._line(axes, "wind_gust_ms", "#9db8cc", "gusts", speed)
            self._line(axes, "wind_ms", INK, "30 s mean", speed)
            if held is not None:
                time, holds = _parted(held.time, held.holds_ms * speed)
                axes.step(time / DAY_S, holds, color=EDGES[Stage.ALARM], where="post", label="held")
                axes.lines[-1].set_gid("holds_ms")
            beside = "" if held is None else ", and what the set could hold from where it blew"
            axes.set_title(f"Wind, {self._shown.speed_unit}{beside}")
            axes.set_ylim(bottom=0.0)
            _legend(axes)
        return done[0]

    def line(self, one: LineFigures, stay: Stay) -> str:
        """Stretch, load and steepness of one line, each with its limits as bands."""
        line = one.line
        with self._figure(1, 3, (9.6, 1.9), "Stretch, load and steepness") as (cells, done):
            stretch, load, steep = cells
            self._share(stretch, f"stretch_share.{line.id}", stay.limits.stretch_share)
            stretch.set_title("Stretch, % of allowance")
            wll = self._shown.in_force(line.smallest_wll_kn)
            self._line(load, f"tension_kn.{line.id}", INK, scale=self._shown.in_force(1.0))
            load.set_ylim(0.0, _top(load, ALL_OF_IT * wll))
            _bands(load, "load", _scaled(stay.limits.load_share, wll))
            self._brake(load, one, stay)
            load.set_title(f"Load, {self._shown.force_unit}")
            self._line(steep, f"vertical_deg.{line.id}", INK)
            angles = [limit for limit in stay.limits.steep_deg.as_tuple() if isfinite(limit)]
            steep.set_ylim(_bottom(steep), _top(steep, ALL_OF_IT * max(angles, default=45.0)))
            _bands(steep, "steep", stay.limits.steep_deg)
            steep.set_title("Leads down, degrees")
            for axes in cells:
                self._tendings(axes, line.id)
        return done[0]

    # Parts of charts

    def _share(self, axes: Axes, name: str, limits: StageLimits) -> None:
        self._line(axes, name, INK, scale=100.0)
        axes.set_ylim(0.0, _top(axes, 100.0 * ALL_OF_IT))
        _bands(axes, "stretch", _scaled(limits, 100.0))

    def _line(self, axes: Axes, name: str, colour: str, label: str = "", scale: float = 1.0) -> None:
        values: Singles | Floats = self._told.number[name]
        time, value = thinned(self._told.time, values)
        (drawn,) = axes.plot(time / DAY_S, value * scale, color=colour, label=label or None)
        drawn.set_gid(name.partition(".")[0])

    def _brake(self, axes: Axes, one: LineFigures, stay: Stay) -> None:
        winch = None if one.line.winch is None else stay.ship.winches.get(one.line.winch)
        if winch is None or winch.brake_kn is None:
            return
        holds = self._shown.in_force(winch.brake_kn)
        if holds < axes.get_ylim()[1]:
            axes.axhline(holds, color=THIRD, linewidth=0.8, linestyle=(0, (1, 1.5)))
            axes.annotate("brake", (1.0, holds), xycoords=("axes fraction", "data"), ha="right", va="top",
                          fontsize=6.5, color=THIRD)  # fmt: skip

    def _tendings(self, axes: Axes, line: str) -> None:
        for event in self._told.events:
            if event.event == "tended" and event.line == line:
                axes.axvline(event.time / DAY_S, color=TEXT, linewidth=0.7, linestyle=(0, (3, 2)))

    @contextmanager
    def _figure(
        self, down: int, across: int, size: tuple[float, float], what: str
    ) -> Iterator[tuple[Sequence[Axes], list[str]]]:
        """Axes to draw on; when they are left, the list beside them holds the SVG."""
        done: list[str] = []
        with mpl.rc_context(STYLE):
            figure = Figure(figsize=size, layout="constrained")
            axes = np.atleast_1d(figure.subplots(down, across, sharex=True)).ravel().tolist()
            yield axes, done
            for one in axes:
                self._time_axis(one)
            self._drawn += 1
            done.append(_svg(figure, f"c{self._drawn}", what))

    def _time_axis(self, axes: Axes) -> None:
        zone = self._shown.zone
        begin, end = self._told.begin / DAY_S, self._told.end / DAY_S
        axes.set_xlim(begin, max(end, begin + 60.0 / DAY_S))
        axes.xaxis_date(zone)
        locator = AutoDateLocator(tz=zone, minticks=3, maxticks=6)
        axes.xaxis.set_major_locator(locator)
        axes.xaxis.set_major_formatter(_clock(locator, zone))
        axes.yaxis.set_major_locator(MaxNLocator(4))


def _clock(locator: AutoDateLocator, zone: tzinfo) -> ConciseDateFormatter:
    """Ticks as the page writes times: `06:00` within a day, `13 Sep` where one begins."""
    ticks = ["%Y", "%b", "%d %b", "%H:%M", "%H:%M", "%H:%M:%S"]
    besides = ["", "%Y", "%b %Y", "%d %b %Y", "%d %b %Y", "%d %b %Y %H:%M"]
    return ConciseDateFormatter(
        locator, zone, formats=ticks, zero_formats=["", *ticks[:5]], offset_formats=besides
    )


def _parted(time: Floats, values: Floats) -> tuple[Floats, Floats]:
    """Values that lie about evenly, with a NaN where some are lacking between two."""
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


def _bands(axes: Axes, what: str, limits: StageLimits) -> None:
    """Each stage as a band from its limit to the next, without stretching the axis."""
    low, high = axes.get_ylim()
    used = [(stage, limit) for stage, limit in zip(BANDS, limits.as_tuple(), strict=True) if isfinite(limit)]
    ends = [*(limit for _, limit in used[1:]), 10.0 * high]
    for (stage, limit), end in zip(used, ends, strict=True):
        axes.axhspan(limit, end, color=BANDS[stage], linewidth=0, zorder=0.2).set_gid(f"{what}_{stage.word}")
        axes.axhline(limit, color=EDGES[stage], linewidth=0.6, zorder=0.4)
    axes.set_ylim(low, high)


def _svg(figure: Figure, prefix: str, what: str) -> str:
    """The figure as an element for the page: ids its own, no declaration, nothing that names an address."""
    written = io.StringIO()
    nothing = dict.fromkeys(("Date", "Creator", "Format", "Type"))
    FigureCanvasSVG(figure).print_svg(written, metadata=nothing)
    text = written.getvalue()
    text = text[text.index("<svg") :]
    text = re.sub(r'\sxmlns(:\w+)?="[^"]*"', "", text).replace("xlink:href", "href")
    text = re.sub(r'(\sid="|url\(#|href="#)', rf"\1{prefix}-", text)
    text = re.sub(r'\s(width|height)="[\d.]+pt"', "", text, count=2)
    return text.replace("<svg", f'<svg role="img" aria-label="{what}"', 1)
