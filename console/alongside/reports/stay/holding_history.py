"""The wind against what the lines hold, calculated anew from the states on record."""

from dataclasses import dataclass
from math import ceil
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.cycle.holding_epochs import ANEW_S
from alongside.forecast.basis import Basis
from alongside.mechanics.holding_around import weakest_around
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.reports.stay.record_arrays import RecordArrays
from alongside.stay.model import Stay

MOST_INSTANTS: Final = 240
"""Instants at which it is calculated, over the whole stay."""
LEAST_APART_S: Final = 300.0
NEEDED: Final = ("wind_ms", "wind_from_deg", "tide", "draught_fwd", "draught_aft")
"""Quantities without which there is no answer."""


@dataclass(frozen=True, slots=True, eq=False)
class HoldingHistory:
    """(m,) each: the 30 s wind at 10 m that the lines hold from the worst direction within 15 deg of where it
    blew, m/s, and the wind as a share of it; NaN where not known. `rows` are the places of the instants among
    the states."""

    rows: NDArray[np.intp]
    time: Floats
    holds_ms: Floats
    share: Floats


def holding_history(arrays: RecordArrays) -> HoldingHistory | None:
    """Return holding power over the stay; None where no stay file of the record has what it is calculated
    from, or no wind was known."""
    parts = [part for run in range(len(arrays.runs)) if (part := _of_run(arrays, run)) is not None]
    if not parts:
        return None
    rows = np.concatenate([rows for rows, _ in parts])
    holds = np.concatenate([holds for _, holds in parts])
    wind = arrays.number["wind_ms"][rows].astype(np.float64)
    share = np.full(rows.size, np.nan)
    np.divide(wind, holds, out=share, where=holds > 0.0)
    return HoldingHistory(rows, arrays.time[rows], holds, share)


def _of_run(arrays: RecordArrays, run: int) -> tuple[NDArray[np.intp], Floats] | None:
    stay = arrays.runs[run].stay
    basis = Basis.of(stay)
    rows = _chosen(arrays, run)
    if not basis.watches_holding or not rows.size:
        return None
    lengths = _lengths(arrays, stay, rows)
    holds = _holds(basis, arrays, rows, lengths)
    ran_out = np.nan_to_num(_of_lines(arrays, stay, rows, "slipped.paid_out_m"))
    some = np.flatnonzero((ran_out > 0.0).any(axis=1))
    if some.size:
        slipped = _holds(basis, arrays, rows[some], lengths[some] + ran_out[some])
        holds[some] = np.fmin(holds[some], slipped)
    return rows, holds


def _holds(basis: Basis, arrays: RecordArrays, rows: NDArray[np.intp], lengths: Floats) -> Floats:
    """Return what was held from about where it blew (rows,), m/s, with lengths (rows, lines)."""
    unlike = (lengths[1:] != lengths[:-1]) & ~(np.isnan(lengths[1:]) & np.isnan(lengths[:-1]))
    holds = np.full(rows.size, np.nan)
    # Instants between two tendings share their lengths, and are calculated together.
    for part in np.split(np.arange(rows.size), np.flatnonzero(unlike.any(axis=1)) + 1):
        here = _situation(arrays, rows[part])
        holds[part], _ = weakest_around(basis.arrangement, here, lengths[part[0]], basis.criteria)
    return holds


def _chosen(arrays: RecordArrays, run: int) -> NDArray[np.intp]:
    """Return rows of a run at which all that is needed is known, evenly apart over the whole record, and at
    full minutes, at which the alert's figure was calculated too."""
    apart = max(LEAST_APART_S, (arrays.end - arrays.begin) / MOST_INSTANTS)
    every = ceil(apart / ANEW_S) * ANEW_S
    known = np.isfinite(sum(arrays.number[name] for name in NEEDED))
    rows = np.flatnonzero((arrays.run == run) & known)
    _, first = np.unique(arrays.time[rows] // every, return_index=True)
    return rows[first]


def _lengths(arrays: RecordArrays, stay: Stay, rows: NDArray[np.intp]) -> Floats:
    """(rows, lines) of the run's own lines, m."""
    return _of_lines(arrays, stay, rows, "unstretched_m")


def _of_lines(arrays: RecordArrays, stay: Stay, rows: NDArray[np.intp], quantity: str) -> Floats:
    columns = [arrays.of(quantity, line.id)[rows] for line in stay.lines]
    return np.stack(columns, axis=1).astype(np.float64)


def _situation(arrays: RecordArrays, rows: NDArray[np.intp]) -> Situation:
    number = {name: arrays.number[name][rows].astype(np.float64) for name in arrays.number if "." not in name}
    heel = number["heel_deg"]
    measured = bool(np.isfinite(heel).any())
    return Situation(
        time=arrays.time[rows],
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
