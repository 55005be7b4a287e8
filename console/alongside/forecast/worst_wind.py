"""The wind that is most by what the lines hold in the hours ahead, as things stand and with a change."""

from dataclasses import dataclass
from math import nan

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.model import Forecast
from alongside.forecast.wind_held import TIGHT
from alongside.mechanics.holding import WeakSpot
from alongside.readings import Floats

Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class WorstWind:
    """What is expected at `time`, UNIX s: a 30 s mean `wind_ms` m/s from `from_deg` true, `share` of
    `holds_ms`, infinite where that is 0; `weak` gives first. `forecast`: whether a wind forecast serves, and
    not the wind of now alone. Both NaN where a line is too tight in a calm in all hours; then, or where it
    blows harder in hours that are left out for that, `tight` is the hardest of these: (UNIX s, m/s)."""

    time: float
    wind_ms: float
    from_deg: float
    holds_ms: float
    share: float
    weak: WeakSpot
    forecast: bool
    tight: tuple[float, float] | None = None


def worst_winds(
    before: Forecast, after: Forecast, takes_from: Forecast | None = None
) -> tuple[WorstWind | None, WorstWind | None]:
    """Return the worst of two forecasts of the same hours, None where it is not known. Hours in which a line
    is too tight in a calm as things stand are left out: it is to be tended, and they say nothing of the wind.
    Where a change only `takes_from` what is held, nowhere is more held than there."""
    held = before.held
    counts = np.ones(before.times.size, dtype=bool) if held is None else ~(held.calm_share >= TIGHT)
    one, other = _worst(before, counts), _worst(after, counts)
    most = None if takes_from is None else _worst(takes_from, counts)
    if most is not None and other is not None and most.share > other.share:
        other = most
    return one, other


def _worst(forecast: Forecast, counts: Flags) -> WorstWind | None:
    held, wind = forecast.held, forecast.wind_ms.expected
    if held is None:
        return None
    share: Floats = np.full(wind.shape, np.inf)
    np.divide(wind, held.holds_ms, out=share, where=held.holds_ms != 0.0)
    known = ~np.isnan(share)
    if not known.any():
        return None
    hardest = int(np.where(known, wind, -1.0).argmax())
    some = known & counts
    at = int(np.where(some, share, -1.0).argmax()) if some.any() else hardest
    time, present = float(forecast.times[at]), forecast.present
    rows = () if present is None else present.wind_forecast
    left_out = not some.any() or wind[hardest] > wind[some].max()
    return WorstWind(
        time,
        float(wind[at]),
        float(forecast.wind_from_deg[at]),
        float(held.holds_ms[at]) if some.any() else nan,
        float(share[at]) if some.any() else nan,
        held.weak[int(np.abs(held.time - time).argmin())],
        forecast=any(each.at > forecast.time for each in rows),
        tight=(float(forecast.times[hardest]), float(wind[hardest])) if left_out else None,
    )
