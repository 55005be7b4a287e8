"""What whoever reads times to decide by has to know: what nobody has agreed, and what the wind rests on."""

from collections.abc import Iterator, Sequence
from math import isfinite, isnan
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.decided import LimitToCome
from alongside.forecast.expected.ensemble import Expected
from alongside.forecast.expected.wind import mean_wind
from alongside.forecast.present import Present
from alongside.forecast.wind_held import Held
from alongside.forecast.wind_not_heard import not_heard
from alongside.readings import Floats
from alongside.stay.model import DEEDS, WITHOUT_TRANSFER, DecideBy, Deed, Display, LeadTimes
from alongside.wording.decide import NAMES
from alongside.wording.figures import listed
from alongside.wording.times import DayClock, span

BEGUN: Final = ("stop_cargo", "disconnect")
BEGUN_AT_ONCE: Final = ("stop_cargo", "leave")
OLD_S: Final = 6 * 3600.0
"""A forecast that old is said to be so: by then the next issue is out. Common practice, no source."""


def not_given(agreed: DecideBy, holds: bool = True) -> tuple[str, ...]:
    """Return what nobody has agreed, and which lead times are not given, each with what follows from that;
    `holds`: what the lines hold is known."""
    words: list[str] = []
    for limits, deeds, which in (
        (agreed.with_transfer, DEEDS, "with transfer"),
        (agreed.without_transfer, WITHOUT_TRANSFER, "without transfer"),
    ):
        given = {limit.do for limit in limits}
        words += _no_limit([deed for deed in deeds if deed not in given], which, holds, "leave" in given)
    times = [name for name in ("tugs", "pilot", "gang", "disconnect") if isnan(getattr(agreed.lead, name))]
    words += [f"no lead time given of {listed(times)}: by when is not known"] if times else []
    none = [f"to {NAMES[name]}" for name in BEGUN_AT_ONCE if isnan(getattr(agreed.lead, name))]
    words += [f"no time given {listed(none)}: taken as none"] if none else []
    return tuple(words)


def _no_limit(deeds: Sequence[Deed], which: str, holds: bool, leaves: bool) -> Iterator[str]:
    """Yield what calls for deeds that no limit calls for; `leaves`: one to leave is agreed."""
    others = [f"to {NAMES[deed]}" for deed in deeds if deed != "tugs"]
    if "tugs" in deeds:
        what = [*(["what the lines hold"] if holds else []), *(["a limit to leave"] if leaves else [])]
        then = f"only {' or '.join(what)} calls" if what else "no wind calls"
        yield f"no limit for tugs {which}: {then} for them"
    if others:
        yield f"no limit {listed(others)} {which}: no wind calls for it"


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
    until = float(expected.time[-1])
    rows = [] if np.isnan(speed).all() else list(_of_forecast(lead, present, ahead, until, clock))
    if np.isnan(speed).all():
        rows.append("wind not known, and none is forecast: no limit is looked for")
    elif np.isnan(come_from).any():
        rows.append("wind direction not known: limits of all directions count, not what the lines hold")
    else:
        rows += not_heard(present, clock)
    rows += _not_begun(limits, connected, expected.time, clock)
    if held is not None and not held.by_wind.all():
        begins, ends = (clock(float(expected.time[at])) for at in np.flatnonzero(~held.by_wind)[[0, -1]])
        tight = "a line is tight without wind: tend it, no tug cures that"
        rows.append(f"what the lines hold from {begins} to {ends} not known: {tight}")
    return tuple(rows)


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


def _of_forecast(
    lead: LeadTimes, present: Present, ahead: Sequence[float], until: float, clock: DayClock
) -> Sequence[str]:
    if not ahead:
        what = "wind forecast is past" if present.wind_forecast else "no wind forecast"
        blind = isnan(sum(mean_wind(present)))
        wind = "its last row" if blind else "that of simulate in the stay file" if present.planned else "now"
        return [f"{what}: the wind goes on as {wind}, with a spread"]
    rows, end = list[str](), max(ahead)
    if end < until:
        after = "what comes after is not known, and taken as its last row"
        words = f"wind forecast ends {clock(end)}: {after}"
        rows.append(f"{words}; enter a later one" if end < present.time + lead.longest else words)
    newest = max(each.entered for each in present.wind_forecast)
    if isfinite(newest) and present.time - newest > OLD_S:
        rows.append(f"wind forecast is {span(present.time - newest)} old: enter the newest")
    return rows
