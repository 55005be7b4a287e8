"""What a strip chart can show: each series with its name in words, its unit, limit lines and stages."""

from dataclasses import dataclass
from math import isfinite
from typing import Final

import numpy as np

from alongside.alerts.assess import stages_of
from alongside.alerts.measures import watched_angle
from alongside.alerts.rule_model import Rule
from alongside.alerts.rules import rules_of
from alongside.readings import Codes, Floats
from alongside.screens.view import View, chosen_line
from alongside.stay.causes import Cause
from alongside.stay.channels import PEAK
from alongside.stay.model import Display
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


@dataclass(frozen=True, slots=True)
class Trace:
    """One series as the chart shows it: `scale` brings it from SI to `unit`. `limits` are those of the `rule`
    that watches it, in `unit`, mildest first; none for a channel and where none is set."""

    series: str
    title: str
    unit: str
    scale: float
    limits: tuple[tuple[Stage, float], ...] = ()
    rule: Rule | None = None

    @property
    def from_zero(self) -> bool:
        """Return whether the scale begins at 0: for quantities of a line."""
        return self.series.partition(".")[0] in QUANTITIES


def choices(view: View) -> list[str]:
    """Return names for `View.series`: the quantities of a line, then the channels there is a past of."""
    channels = [name for name in view.figures.history.series if name.partition(".")[0] not in QUANTITIES]
    return [*QUANTITIES, *channels]


def trace_of(view: View) -> Trace:
    """Return the trace that the View asks for."""
    if view.series in QUANTITIES:
        return _line_trace(view)
    unit, scale = channel_unit(view.series, view.stay.display)
    return Trace(view.series, channel(view.series), unit, scale)


def past_of(view: View, trace: Trace) -> tuple[Floats, Codes]:
    """Return the past of a trace, (m,) values in its unit and their stages; how a line leads up or down is
    left out, for both are steep."""
    series = view.figures.history.series
    values = series[trace.series]
    quantity, _, line = trace.series.partition(".")
    load = series.get(f"load_share.{line}", np.full(values.size, np.nan))
    if quantity == "vertical_deg":
        values = np.abs(values)
        watched = watched_angle(view.stay, values, load)
    else:
        watched = load if quantity == "tension_kn" else values
    none: Codes = np.zeros(values.size, dtype=np.int8)
    return values * trace.scale, none if trace.rule is None else stages_of(trace.rule, watched)


def _line_trace(view: View) -> Trace:
    row, display = chosen_line(view), view.stay.display
    line = row.id if row else ""
    title = f"line {safe(line)}, {TITLES[view.series]}"
    rule = next((each for each in rules_of(view.stay) if each.key == (CAUSE[view.series], line)), None)
    unit, scale, of_limits = "%", 100.0, 100.0
    if view.series == "vertical_deg":
        unit, scale, of_limits = "°", 1.0, 1.0
    elif view.series == "tension_kn":
        wll = next((each.smallest_wll_kn for each in view.figures.stay.lines if each.id == line), 0.0)
        unit, scale, of_limits = display.force, force(1.0, display), force(wll, display)
    stages = (Stage.CAUTION, Stage.WARNING, Stage.ALARM)
    used = zip(stages, rule.limits, strict=True) if rule else ()
    limits = tuple((stage, limit * of_limits) for stage, limit in used if isfinite(limit))
    return Trace(f"{view.series}.{line}", title, unit, scale, limits, rule)


def channel_unit(name: str, display: Display) -> tuple[str, float]:
    """Return the unit in which a channel is shown, and by what its values are multiplied."""
    if name.startswith(("tension.", PEAK)):
        return display.force, force(1.0, display)
    if name in ("wind_speed", "wind_gust", "current_speed"):
        return display.speed, speed(1.0, display)
    if name in ("heel", "heading", "wind_from", "current_to"):
        return "°", 1.0
    return "m", 1.0
