"""What a strip chart can show: each quantity with its name, unit, limits and past."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import isfinite
from typing import Final

import numpy as np

from alongside.alerts.measures import watched_angle
from alongside.alerts.rule_model import Rule
from alongside.alerts.rules import rules_of
from alongside.cycle.picture import Picture
from alongside.mechanics.keel import under_keel_m
from alongside.readings import Floats
from alongside.screens.view import View, chosen_line
from alongside.stay.causes import Cause
from alongside.stay.channels import PEAK
from alongside.stay.model import Display, Stay
from alongside.stay.stage import Stage
from alongside.wording.figures import force, speed
from alongside.wording.names import channel
from alongside.wording.safe import safe

QUANTITIES = ("stretch_share", "load_share", "tension_kn", "vertical_deg")
"""Quantities of a line, in the order in which the chart offers them."""
TITLES: Final = {
    "stretch_share": "stretch",
    "load_share": "load of WLL",
    "tension_kn": "load",
    "vertical_deg": "steepness",
}
CAUSE: Final[dict[str, Cause]] = {
    "stretch_share": "stretch",
    "load_share": "load",
    "tension_kn": "load",
    "vertical_deg": "steep",
}
"""What watches each quantity."""
OF_SHIP: Final = {
    "under_keel": "under keel",
    "sway": "drift off the berth, + off",
    "surge": "drift along the berth",
}
"""What is charted of the ship that is no channel."""
_RULES: Final[dict[str, tuple[Cause, str]]] = {
    "under_keel": ("under_keel", ""),
    "sway": ("drift", "sway"),
    "surge": ("drift", "surge"),
}
_KEEL: Final = ("tide", "draught_fwd", "draught_aft")


@dataclass(frozen=True, slots=True)
class Trace:
    """What a chart shows: one series or one of several lines, the chosen line first (`lines`, () for what is
    of the ship). `scale` brings values from SI to `unit`. `limits` are those of the `rule` that watches it,
    in `unit`, mildest first; either way where `both` is set."""

    series: str
    title: str
    unit: str
    scale: float
    lines: tuple[str, ...] = ()
    limits: tuple[tuple[Stage, float], ...] = ()
    rule: Rule | None = None
    both: bool = False
    marks: tuple[tuple[str, float], ...] = field(default=())
    """Other levels that matter, each with what it is: `lines hold`."""

    @property
    def of_lines(self) -> bool:
        """Return whether it is a quantity of lines."""
        return bool(self.lines)

    @property
    def levels(self) -> tuple[float, ...]:
        """Return all limits and levels that may matter, in the unit of the chart."""
        limits = [limit for _, limit in self.limits]
        return (*limits, *((-limit for limit in limits) if self.both else ()), *(at for _, at in self.marks))


def choices(view: View) -> list[str]:
    """Return names for `View.series`: the quantities of a line, the channels there is a past of, then what is
    of the ship."""
    series = view.figures.history.series
    channels = [name for name in series if name.partition(".")[0] not in QUANTITIES and name not in OF_SHIP]
    of_ship = [name for name in OF_SHIP if name in series or (name == "under_keel" and _has_keel(view))]
    return [*QUANTITIES, *channels, *of_ship]


def _has_keel(view: View) -> bool:
    return view.stay.berth.charted_depth is not None and set(_KEEL) <= set(view.figures.history.series)


def trace_of(view: View) -> Trace:
    """Return the trace that the View asks for."""
    if view.series in QUANTITIES:
        return _lines_trace(view)
    display = view.stay.display
    marks: tuple[tuple[str, float], ...] = ()
    if view.series in OF_SHIP:
        return _ship_trace(view)
    unit, scale = channel_unit(view.series, display)
    if view.series in ("wind_speed", "wind_gust") and isfinite(view.figures.holds_ms):
        marks = (("lines hold", view.figures.holds_ms * scale),)
    return Trace(view.series, channel(view.series), unit, scale, marks=marks)


def _ship_trace(view: View) -> Trace:
    rule = _rule(view.figures, _RULES[view.series])
    return Trace(
        view.series,
        OF_SHIP[view.series],
        "m",
        1.0,
        limits=_limits(rule, 1.0),
        rule=rule,
        both=view.series != "under_keel",
    )


def shown_lines(view: View) -> tuple[str, ...]:
    """Return the lines that the chart shows, the chosen one first: it alone, those of its role, or all."""
    row = chosen_line(view)
    if row is None:
        return ()
    others = [
        each.id
        for each in view.figures.lines
        if each.id != row.id and (view.chart_lines == "all" or each.role == row.role)
    ]
    return (row.id, *(others if view.chart_lines != "one" else ()))


def _lines_trace(view: View) -> Trace:
    display, lines = view.stay.display, shown_lines(view)
    line = lines[0] if lines else ""
    rule = _rule(view.figures, (CAUSE[view.series], line))
    unit, scale, of_limits = "%", 100.0, 100.0
    if view.series == "vertical_deg":
        unit, scale, of_limits = "°", 1.0, 1.0
    elif view.series == "tension_kn":
        wll = next((each.smallest_wll_kn for each in view.figures.stay.lines if each.id == line), 0.0)
        unit, scale, of_limits = display.force, force(1.0, display), force(wll, display)
    role = next((row.role for row in view.figures.lines if row.id == line), "")
    of = {
        "one": f"line {safe(line)}",
        "role": f"line {safe(line)}, {role} lines",
        "all": f"line {safe(line)}, all lines",
    }
    title = f"{of[view.chart_lines]}, {TITLES[view.series]}"
    marks = _brake_mark(view, line, scale)
    return Trace(view.series, title, unit, scale, lines, _limits(rule, of_limits), rule, marks=marks)


def _brake_mark(view: View, line: str, scale: float) -> tuple[tuple[str, float], ...]:
    """Return what the winch brake of a line holds, on a chart of its load: often less than any limit of the
    rope."""
    moored = next((each for each in view.figures.stay.lines if each.id == line), None)
    if moored is None or moored.winch is None or view.series not in ("tension_kn", "load_share"):
        return ()
    holding_kn = view.figures.stay.ship.winches[moored.winch].holding_kn
    if holding_kn is None:
        return ()
    of = 1.0 if view.series == "tension_kn" else moored.smallest_wll_kn
    return (("brake holds", holding_kn / of * scale),)


_kept: list[tuple[Stay, dict[tuple[Cause, str], Rule]]] = []
"""The rules of the stay that was charted last: the same object gives the same ones."""


def _rule(picture: Picture, key: tuple[Cause, str]) -> Rule | None:
    if not _kept or _kept[0][0] is not picture.stay:
        _kept[:] = [(picture.stay, {each.key: each for each in rules_of(picture.stay)})]
    return _kept[0][1].get(key)


def _limits(rule: Rule | None, scale: float) -> tuple[tuple[Stage, float], ...]:
    if rule is None:
        return ()
    used = zip((Stage.CAUTION, Stage.WARNING, Stage.ALARM), rule.limits, strict=True)
    return tuple((stage, limit * scale) for stage, limit in used if isfinite(limit))


@dataclass(frozen=True, slots=True)
class Past:
    """`time` (n,) UNIX s, `value` (n, k) in the unit of the chart, `watched` (n,) what the rule of the first
    compares, in the rule's own unit."""

    time: Floats
    value: Floats
    watched: Floats


def past_of(view: View, trace: Trace, since: float = -np.inf) -> Past:
    """Return the past of a trace from a time on, a column for each line, one for what is of the ship. How a
    line leads up or down is left out, for both are steep."""
    history = view.figures.history
    first = int(history.time.searchsorted(since)) if history.time.size else 0
    time = history.time[first:]
    if not trace.of_lines:
        value = _of_ship(view, trace.series, first) * trace.scale
        watched = np.abs(value) if trace.both else value
        return Past(time, value[:, np.newaxis], watched)

    def columns(quantity: str, lines: Sequence[str]) -> Floats:
        nothing = np.full(time.size, np.nan)
        names = (f"{quantity}.{line}" for line in lines)
        series = [history.series[name][first:] if name in history.series else nothing for name in names]
        return np.stack(series, axis=1)

    value = columns(trace.series, trace.lines)
    if trace.series == "vertical_deg":
        value = np.abs(value)
        load = columns("load_share", trace.lines[:1])[:, 0]
        return Past(time, value, watched_angle(view.stay, value[:, 0], load))
    watched = value[:, 0]
    if trace.series == "tension_kn":
        watched = columns("load_share", trace.lines[:1])[:, 0]
    return Past(time, value * trace.scale, watched)


def known_before(view: View, trace: Trace, time: float) -> bool:
    """Return whether anything was known of what is shown, of the first line of several, at or before a
    time."""
    history = view.figures.history
    name = f"{trace.series}.{trace.lines[0]}" if trace.of_lines else trace.series
    name = "tide" if name == "under_keel" else name
    if not history.time.size or history.time[0] > time or name not in history.series:
        return False
    rows = int(history.time.searchsorted(time, side="right"))
    return bool(np.isfinite(history.series[name][:rows]).any())


def _of_ship(view: View, name: str, first: int) -> Floats:
    series, size = view.figures.history.series, view.figures.history.time.size
    if name == "under_keel":
        depth = view.stay.berth.charted_depth
        tide, fwd, aft = (series.get(each, np.full(size, np.nan))[first:] for each in _KEEL)
        heel = np.nan_to_num(series["heel"][first:]) if "heel" in series else 0.0
        return under_keel_m(view.stay.ship, np.nan if depth is None else depth, tide, fwd, aft, heel)
    return series[name][first:] if name in series else np.full(size - first, np.nan)


def channel_unit(name: str, display: Display) -> tuple[str, float]:
    """Return the unit in which a channel is shown, and by what its values are multiplied."""
    if name.startswith(("tension.", PEAK)):
        return display.force, force(1.0, display)
    if name in ("wind_speed", "wind_gust", "current_speed"):
        return display.speed, speed(1.0, display)
    if name in ("heel", "heading", "wind_from", "current_to"):
        return "°", 1.0
    return "m", 1.0
