"""What a strip chart can show: each series with its name in words, its unit and its limit lines."""

from collections.abc import Callable
from dataclasses import dataclass
from math import nan

from alongside.screens.view import View, chosen_line
from alongside.stay.model import Display, StageLimits
from alongside.wording.figures import force, speed
from alongside.wording.names import channel
from alongside.wording.safe import safe

QUANTITIES = ("stretch_share", "load_share", "tension_kn", "vertical_deg")
"""Quantities of a line, in the order in which the chart offers them."""

_NONE = StageLimits()


@dataclass(frozen=True, slots=True)
class Trace:
    """One series as the chart shows it: `scale` brings it from SI to `unit`."""

    series: str
    title: str
    unit: str
    scale: float
    limits: StageLimits = _NONE
    from_zero: bool = False


def choices(view: View) -> list[str]:
    """Return names for `View.series`: the quantities of a line, then the channels there is a past of."""
    channels = [name for name in view.figures.history.series if name.partition(".")[0] not in QUANTITIES]
    return [*QUANTITIES, *channels]


def trace_of(view: View) -> Trace:
    """Return the trace that the View asks for."""
    if view.series in QUANTITIES:
        return _line_trace(view)
    unit, scale = _channel_unit(view.series, view.stay.display)
    return Trace(view.series, channel(view.series), unit, scale)


def _line_trace(view: View) -> Trace:
    row, limits, display = chosen_line(view), view.stay.limits, view.stay.display
    line = row.id if row else ""
    series, name = f"{view.series}.{line}", f"line {safe(line)}"
    if view.series == "stretch_share":
        title = f"{name}, stretch"
        return Trace(series, title, "%", 100.0, _scaled(limits.stretch_share, 100.0), True)
    if view.series == "load_share":
        title = f"{name}, load of WLL"
        return Trace(series, title, "%", 100.0, _scaled(limits.load_share, 100.0), True)
    if view.series == "vertical_deg":
        return Trace(series, f"{name}, steepness", "°", 1.0, limits.steep_deg, True)
    scale = force(1.0, display)
    wll = _working_limit(view, line) * scale
    title = f"{name}, load"
    return Trace(series, title, display.force, scale, _scaled(limits.load_share, wll), True)


def _working_limit(view: View, line: str) -> float:
    """Return the smallest WLL of the parts of a line, kN."""
    return next((each.smallest_wll_kn for each in view.stay.lines if each.id == line), nan)


def _scaled(limits: StageLimits, scale: float) -> StageLimits:
    scaled: Callable[[float | None], float | None] = lambda v: None if v is None else v * scale  # noqa: E731
    return StageLimits(scaled(limits.caution), scaled(limits.warning), scaled(limits.alarm))


def _channel_unit(name: str, display: Display) -> tuple[str, float]:
    if name.startswith("tension."):
        return display.force, force(1.0, display)
    if name in ("wind_speed", "wind_gust", "current_speed"):
        return display.speed, speed(1.0, display)
    if name in ("heel", "heading", "wind_from", "current_to"):
        return "°", 1.0
    return "m", 1.0
