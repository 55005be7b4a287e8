"""The wind against what the set held, worked out anew from the states on record."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.cycle.advance import Plan
from alongside.mechanics.holding import holds_from
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.reports.stay.record_arrays import Gathered
from alongside.stay.model import Stay

MOST: Final = 240
"""Instants at which it is worked out, over the whole stay."""
LEAST_S: Final = 300.0


@dataclass(frozen=True, slots=True, eq=False)
class WindHeld:
    """(m,) each: the 30 s wind at 10 m that the set held from where it blew, m/s, and the wind as a share of
    it; NaN where not known. `rows` are the places of the instants among the states."""

    rows: NDArray[np.intp]
    time: Floats
    holds_ms: Floats
    share: Floats


def wind_held(told: Gathered) -> WindHeld | None:
    """None where no stay file of the record has what holding power is reckoned from, or no wind was known."""
    parts = [_of_run(told, at) for at in range(len(told.runs))]
    found = [part for part in parts if part is not None]
    if not found:
        return None
    rows = np.concatenate([rows for rows, _ in found])
    holds = np.concatenate([holds for _, holds in found])
    wind = told.number["wind_ms"][rows].astype(np.float64)
    share = np.full(rows.size, np.nan)
    np.divide(wind, holds, out=share, where=holds > 0.0)
    return WindHeld(rows, told.time[rows], holds, share)


def _of_run(told: Gathered, at: int) -> tuple[NDArray[np.intp], Floats] | None:
    stay = told.runs[at].stay
    plan = Plan.of(stay)
    rows = _chosen(told, at)
    if not plan.watches_holding or not rows.size:
        return None
    lengths = _lengths(told, stay, rows)
    unlike = (lengths[1:] != lengths[:-1]) & ~(np.isnan(lengths[1:]) & np.isnan(lengths[:-1]))
    holds = np.full(rows.size, np.nan)
    for part in np.split(np.arange(rows.size), np.flatnonzero(unlike.any(axis=1)) + 1):
        here = _situation(told, rows[part])
        holds[part] = holds_from(plan.arrangement, here, lengths[part[0]], here.wind_from, plan.criteria)
    return rows, holds


def _chosen(told: Gathered, at: int) -> NDArray[np.intp]:
    """Rows of a run at which wind and place are known, evenly apart over the whole record."""
    every = max(LEAST_S, (told.end - told.begin) / MOST)
    needed = ("wind_ms", "wind_from_deg", "tide", "draught_fwd", "draught_aft")
    known = np.isfinite(sum(told.number[name] for name in needed))
    rows = np.flatnonzero((told.run == at) & known)
    _, first = np.unique(told.time[rows] // every, return_index=True)
    return rows[first]


def _lengths(told: Gathered, stay: Stay, rows: NDArray[np.intp]) -> Floats:
    """(rows, lines) of the run's own lines, m."""
    columns = [told.of("unstretched_m", line.id)[rows] for line in stay.lines]
    return np.stack(columns, axis=1).astype(np.float64)


def _situation(told: Gathered, rows: NDArray[np.intp]) -> Situation:
    number = {name: told.number[name][rows].astype(np.float64) for name in told.number if "." not in name}
    heel = number["heel_deg"]
    measured = bool(np.isfinite(heel).any())
    return Situation(
        time=told.time[rows],
        tide=number["tide"],
        draught_fwd=number["draught_fwd"],
        draught_aft=number["draught_aft"],
        heel_deg=heel if measured else np.zeros(rows.size),
        heel_measured=measured,
        wind_speed=number["wind_ms"],
        wind_gust=number["wind_gust_ms"],
        wind_from=number["wind_from_deg"],
        current_speed=number["current_ms"],
        current_to=number["current_to_deg"],
        quality=np.zeros(rows.size, dtype=np.int8),
    )
