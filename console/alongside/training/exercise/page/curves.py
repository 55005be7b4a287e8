"""The curves of a debrief: how near ship and lines came to their limits as it was done, with nothing done and
by the best plan, not by colour alone; with what was put in and what was ordered on the time axis."""

from collections.abc import Sequence
from typing import Any, Final

import numpy as np
from matplotlib.axes import Axes

from alongside.readings import Floats
from alongside.reports.printed.drawing import (
    DAY_S,
    INK,
    SECOND,
    TEXT,
    THIRD,
    Drawing,
    Margins,
    bands,
)
from alongside.stay.model import Display, StageLimits
from alongside.training.exercise.course import MINUTE_S
from alongside.training.exercise.page.happened import Happened, Ordered
from alongside.training.exercise.page.marks import Placed, in_lanes, spread, together
from alongside.training.exercise.page.scale import LIMITS, height
from alongside.wording.marks import MARKS

WIDE_IN: Final = 7.32
"""What A4 leaves between its margins, so that letters are printed as large as they are given here."""
CURVE_IN, LANE_IN = 1.42, 0.15
SMALL: Final = 6.5
"""Points."""
MARGINS: Final = Margins(left=0.66, right=0.86, top=0.17, bottom=0.2)
MARK_IN: Final = 0.2
"""Room for a mark on the time axis."""
LABEL_IN: Final = 0.11
"""Labels of curves stand so far apart."""
WAYS: Final[tuple[tuple[str, dict[str, Any]], ...]] = (
    ("as done", {"color": INK, "linewidth": 1.9, "linestyle": "-"}),
    ("nothing done", {"color": SECOND, "linewidth": 1.1, "linestyle": (0, (5.0, 2.0))}),
    ("best plan", {"color": TEXT, "linewidth": 1.4, "linestyle": (0, (1.0, 1.1))}),
)
LEADER: Final[dict[str, Any]] = {
    "arrowstyle": "-", "linewidth": 0.6, "shrinkA": 0.0, "shrinkB": 0.0, "relpos": (0.0, 0.5),
}  # fmt: skip
"""From the end of a curve to its name."""
ALIKE: Final = 0.5
"""Curves that lie no farther apart than this, per cent, are one."""


class Curves:
    """Draws the curves of one exercise, minute by minute from `begin` to `end`, UNIX s."""

    def __init__(
        self,
        begin: float,
        end: float,
        display: Display,
        injected: Sequence[Happened],
        ordered: Sequence[Ordered],
    ) -> None:
        self._begin, self._seconds = begin, max(end - begin, MINUTE_S)
        self._injected, self._ordered = injected, ordered
        self._figure = Drawing(begin, end, display, MARGINS).figure

    def what_happened(self) -> str:
        """Return injections, orders and readings over time, each as long as it lasted."""
        readings = [each for each in self._ordered if each.is_reading]
        orders = [each for each in self._ordered if not each.is_reading]
        rows = [("put in", self._injected), ("ordered", orders), ("read", readings)]
        lanes = [(name, self._lanes(things)) for name, things in rows if things]
        count = sum(_lane_count(placed) for _, placed in lanes)
        high = MARGINS.top + MARGINS.bottom + LANE_IN * max(count, 1)
        with self._figure(1, 1, (WIDE_IN, high), "What was put in, ordered and read, over time") as (
            one,
            done,
        ):
            (axes,) = one
            _without_date(axes)
            axes.set_ylim(-max(count, 1), 0.0)
            axes.set_yticks([])
            axes.grid(axis="y", visible=False)
            top = 0
            for name, placed in lanes:
                self._draw_lanes(axes, name, placed, top)
                top += _lane_count(placed)
        return done[0]

    def _lanes(self, things: Sequence[Happened]) -> tuple[Placed, ...]:
        apart = self._seconds_of(MARK_IN)
        return in_lanes(together(things, apart), 1.6 * apart)

    def _draw_lanes(self, axes: Axes, name: str, placed: Sequence[Placed], top: int) -> None:
        axes.text(-0.01, -top - 0.5, name, transform=axes.get_yaxis_transform(), ha="right", va="center",
                  fontsize=SMALL)  # fmt: skip
        axes.axhline(-top, color=THIRD, linewidth=0.4)
        for each in placed:
            at, left = -top - each.lane - 0.5, each.begin / DAY_S
            axes.plot([left, each.end / DAY_S], [at, at], color="#c3cad1", linewidth=5.0, zorder=1.5,
                      solid_capstyle="butt")  # fmt: skip
            axes.plot([left, left], [at - 0.4, at + 0.4], color=TEXT, linewidth=1.0, zorder=2.0)
            axes.annotate(each.text, (left, at), (2.0, 0.0), textcoords="offset points", va="center",
                          fontsize=SMALL, fontweight="bold", gid=f"mark-{each.text}")  # fmt: skip

    def curve(self, bars: tuple[Floats, Floats, Floats], what: str, deeds: Sequence[Ordered]) -> str:
        """Return the chart of bars, per cent (m,) each: as done, nothing done, best plan. `deeds` are those
        that bear on it, marked where they were done. `what` is for who does not see it."""
        with self._figure(1, 1, (WIDE_IN, CURVE_IN), what) as (one, done):
            (axes,) = one
            _without_date(axes)
            axes.set_ylim(0.0, 1.0)
            bands(axes, "stage", StageLimits(*LIMITS.values()))
            axes.set_yticks(list(LIMITS.values()), [f"{MARKS[stage]} {stage.word}" for stage in LIMITS])
            axes.tick_params(axis="y", labelsize=SMALL, length=0.0)
            axes.grid(axis="y", visible=False)
            self._draw_ways(axes, bars)
            self._draw_injected(axes)
            for each in together([_as_done(one) for one in deeds], self._seconds_of(MARK_IN)):
                axes.plot(each.begin / DAY_S, 0.045, marker="^", markersize=4.5, color=TEXT, clip_on=False)
                axes.annotate(each.text, (each.begin / DAY_S, 0.045), (3.5, -0.5), va="center",
                              textcoords="offset points", fontsize=SMALL, fontweight="bold")  # fmt: skip
        return done[0]

    def _draw_ways(self, axes: Axes, bars: tuple[Floats, Floats, Floats]) -> None:
        """Draw the curves, each with its name at its end; curves that are the same as one."""
        drawn: list[tuple[str, Floats, dict[str, Any]]] = []
        for (name, look), each in zip(WAYS, bars, strict=True):
            same = next((at for at, (_, other, _) in enumerate(drawn) if _alike(each, other)), None)
            if same is None:
                drawn.append((name, each, look))
            else:
                drawn[same] = (f"{drawn[same][0]},\n{name}", *drawn[same][1:])
        minutes = (self._begin + MINUTE_S * (np.arange(bars[0].size) + 0.5)) / DAY_S
        for name, each, look in reversed(drawn):
            (line,) = axes.plot(minutes, height(each), **look)
            line.set_gid(name.partition(",")[0].replace(" ", "_"))
        room = (CURVE_IN - MARGINS.top - MARGINS.bottom) / LABEL_IN
        ends = [_end(height(each)) for _, each, _ in drawn]
        names = [name if _lasts(each) else f"{name},\nnot known later" for name, each, _ in drawn]
        apart = max(name.count("\n") + 1 for name in names) / room
        heights = spread(ends, apart, 0.5 * apart, 1.0 - 0.5 * apart)
        for name, (_, _, look), end, at in zip(names, drawn, ends, heights, strict=True):
            colour = look["color"]
            axes.annotate(name, (1.002, end), (1.022, at), xycoords="axes fraction",
                          textcoords="axes fraction", va="center", fontsize=SMALL, color=colour,
                          linespacing=0.95, arrowprops=LEADER | {"color": colour})  # fmt: skip

    def _draw_injected(self, axes: Axes) -> None:
        for each in together(self._injected, self._seconds_of(MARK_IN)):
            at = each.begin / DAY_S
            axes.axvline(at, color=TEXT, linewidth=0.6, linestyle=(0, (1.0, 2.0)))
            axes.annotate(each.text, (at, 1.0), (0.0, 2.0), textcoords="offset points", ha="center",
                          xycoords=axes.get_xaxis_transform(), fontsize=SMALL,
                          fontweight="bold", annotation_clip=False)  # fmt: skip

    def _seconds_of(self, inches: float) -> float:
        """Return how much time a width on the paper is."""
        return self._seconds * inches / (WIDE_IN - MARGINS.left - MARGINS.right)


def _without_date(axes: Axes) -> None:
    """The head of the page has it; a tick says so where another day begins."""
    axes.xaxis.get_offset_text().set_visible(False)


def _lane_count(placed: Sequence[Placed]) -> int:
    return max(each.lane for each in placed) + 1


def _as_done(order: Ordered) -> Happened:
    return Happened(order.mark, order.end, order.end, order.words)


def _alike(one: Floats, other: Floats) -> bool:
    return bool(np.array_equal(np.isnan(one), np.isnan(other))) and not np.any(np.abs(one - other) > ALIKE)


def _lasts(bars: Floats) -> bool:
    """Return whether a curve is known to its end, but for the minute that has hardly begun."""
    return not np.isnan(bars[-2:]).all()


def _end(heights: Floats) -> float:
    """Return where a curve ends: its last value that is known, 0 where none is."""
    known = heights[~np.isnan(heights)]
    return float(known[-1]) if known.size else 0.0
