"""The charts of the report."""

from collections.abc import Iterator
from math import isfinite
from typing import Final

import numpy as np
from matplotlib.axes import Axes

from alongside.mechanics.holding_search import CAP_MS
from alongside.readings import Floats
from alongside.reports.printed.drawing import DAY_S, EDGES, INK, SECOND, TEXT, THIRD, Drawing, bands
from alongside.reports.stay.holding_history import HoldingHistory
from alongside.reports.stay.line_figures import LineFigures
from alongside.reports.stay.record_arrays import RecordArrays, Singles
from alongside.reports.stay.thinning import thin
from alongside.stay.model import StageLimits, Stay
from alongside.stay.stage import Stage
from alongside.wording.figures import force, force_text, held_speed, lead, percent, speed
from alongside.wording.safe import safe

ALL_OF_IT: Final = 1.15
"""Charts of shares reach to here at least, so that lines can be compared at a glance."""


class Charts:
    """Draws the charts of one record."""

    def __init__(self, arrays: RecordArrays) -> None:
        self._arrays = arrays
        self._display = arrays.stay.display
        self._figure = Drawing(arrays.begin, arrays.end, arrays.stay.display).figure

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
            bands(load, "load", _scaled(stay.limits.load_share, wll))
            self._brake(load, one, stay)
            load.set_title(f"Load, {self._display.force}")
            self._line(steep, f"vertical_deg.{line.id}", INK)
            angles = [limit for limit in stay.limits.steep_deg.as_tuple() if isfinite(limit)]
            steep.set_ylim(_bottom(steep), _top(steep, ALL_OF_IT * max(angles, default=45.0)))
            bands(steep, "steep", stay.limits.steep_deg)
            if steep.get_ylim()[0] < 0.0:
                bands(steep, "steep", stay.limits.steep_deg, up=True)
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
        bands(axes, "stretch", _scaled(limits, 100.0))

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
