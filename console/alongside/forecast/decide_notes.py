"""What whoever reads times to decide by has to know: what nobody has agreed, and what the wind rests on."""

from collections.abc import Sequence
from math import isfinite, isnan
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.decided import LimitToCome
from alongside.forecast.expected.ensemble import Expected
from alongside.forecast.expected.wind_forecast import standing
from alongside.forecast.present import Present
from alongside.forecast.wind_held import Held
from alongside.readings import Floats
from alongside.stay.model import DEEDS, WITHOUT_TRANSFER, DecideBy, Display, LeadTimes
from alongside.wording.decide import NAMES
from alongside.wording.times import DayClock, span

BEGUN: Final = ("stop_cargo", "disconnect")
OLD_S: Final = 6 * 3600.0
"""A forecast that old is said to be so: by then the next issue is out. Common practice, no source."""


def not_given(agreed: DecideBy, holds: bool) -> tuple[str, ...]:
    """Return what is not compared, in words: what nobody has agreed, and what is held where nobody knows."""
    return (*agreed_not(agreed), *(() if holds else ("what the lines hold: not known",)))


def agreed_not(agreed: DecideBy) -> tuple[str, ...]:
    """Return what nobody has agreed, and which lead times are not given, in words."""
    words: list[str] = []
    for limits, deeds, which in (
        (agreed.with_transfer, DEEDS, "with transfer"),
        (agreed.without_transfer, WITHOUT_TRANSFER, "without transfer"),
    ):
        given = {limit.do for limit in limits}
        missing = [NAMES[deed] for deed in deeds if deed not in given]
        words += [f"no limit {which}: {', '.join(missing)}"] if missing else []
    times = [name for name in ("tugs", "pilot", "gang", "disconnect") if isnan(getattr(agreed.lead, name))]
    words += [f"no lead time: {', '.join(times)}"] if times else []
    none = [NAMES[name] for name in ("stop_cargo", "leave") if isnan(getattr(agreed.lead, name))]
    words += [f"no time allowed to {' and to '.join(none)}"] if none else []
    return tuple(words)


def notes(
    lead: LeadTimes,
    present: Present,
    ahead: Sequence[float],
    expected: Expected,
    held: Held | None,
    display: Display,
    limits: Sequence[LimitToCome],
    connected: NDArray[np.bool_],
) -> tuple[str, ...]:
    """Return what the wind and what is held rest on, a line each; `ahead` are the times to come that the
    forecast has a row for."""
    speed, come_from = expected.wind_speed[0], expected.wind_from[0]
    clock = DayClock(display, present.time)
    rows = [] if np.isnan(speed).all() else list(_of_forecast(lead, present, ahead, clock))
    if np.isnan(speed).all():
        rows.append("wind not known, and none is forecast: no limit is looked for")
    elif np.isnan(come_from).any():
        rows.append("wind direction not known: limits of all directions count, not what the lines hold")
    elif isnan(present.wind_speed + present.wind_from) and ahead:
        rows += _taken_as_forecast(present, min(ahead), float(speed[0]), clock)
    rows += _not_begun(limits, connected, expected.time, clock)
    if held is not None and not held.by_wind.all():
        begins = clock(_first_tight(held, expected.time))
        rows.append(f"a line is tight without wind from {begins}: tend it, no tug cures that")
    return tuple(rows)


def _taken_as_forecast(present: Present, first: float, speed: float, clock: DayClock) -> list[str]:
    """Return that the first forecast to come serves from now on, where neither a gauge nor an earlier one
    says what blows before."""
    coming = next(each for each in standing(present.wind_forecast) if each.at == first)
    if not np.isclose(speed, coming.speed_ms):
        return []
    return [f"wind before {clock(first)} not known: taken as it is forecast for then; enter that of now"]


def _not_begun(
    limits: Sequence[LimitToCome], connected: NDArray[np.bool_], time: Floats, clock: DayClock
) -> list[str]:
    """Return that cargo is not to be begun, where a limit with transfer may be reached soon after it
    would."""
    first = [each.first for each in limits if each.with_transfer and each.do in BEGUN]
    if connected[0] or not first:
        return []
    begins = clock(float(time[int(np.argmax(connected))]))
    return [
        f"cargo is not begun: a limit may be reached {clock(min(first))}, ask before beginning it {begins}"
    ]


def _of_forecast(lead: LeadTimes, present: Present, ahead: Sequence[float], clock: DayClock) -> Sequence[str]:
    if not ahead:
        what = "wind forecast is past" if present.wind_forecast else "no wind forecast"
        wind = "that of simulate in the stay file" if present.planned else "as now"
        return [f"{what}: the wind goes on {'as ' if present.planned else ''}{wind}, with a spread"]
    rows, end = list[str](), max(ahead)
    if end < present.time + lead.longest:
        rows.append(f"wind forecast ends {clock(end)}, before the lead times do: enter a later one")
    newest = max(each.entered for each in present.wind_forecast)
    if isfinite(newest) and present.time - newest > OLD_S:
        rows.append(f"wind forecast is {span(present.time - newest)} old: enter the newest")
    return rows


def _first_tight(held: Held, time: Floats) -> float:
    return float(time[int(np.argmin(held.by_wind))])
