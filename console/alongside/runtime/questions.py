"""Questions about one moment of a stay: what she holds, what each line carries, what the next hours bring."""

from dataclasses import replace
from datetime import datetime
from functools import reduce
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from alongside.errors import WrongInput
from alongside.forecast import look_ahead as forecasts
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import when_fast
from alongside.forecast.model import Forecast
from alongside.forecast.present import Present
from alongside.forecast.what_if import answer as answers
from alongside.forecast.what_if.typed import parse_changes
from alongside.mechanics import hold as mechanics
from alongside.mechanics import holding
from alongside.mechanics.lesser_holding import lesser
from alongside.mechanics.state import Hold
from alongside.runtime.log_moment import present_of
from alongside.stay.model import Stay
from alongside.units import TIME_EXPECTED, is_time, unix_time

Time = str | float | datetime
"""ISO 8601 with a zone (`2026-03-02T04:10:00Z`), UNIX seconds, or a datetime with a zone."""

_FIELDS: Final = {
    "tide": "tide",
    "draught_fwd": "draught_fwd",
    "draught_aft": "draught_aft",
    "heel_deg": "heel_deg",
    "wind_ms": "wind_speed",
    "wind_from_deg": "wind_from",
    "current_ms": "current_speed",
    "current_to_deg": "current_to",
}
"""Names of the output, and what the situation calls them."""


def hold(stay: Stay, at: Time | None = None, log: str | Path | None = None, **changes: ArrayLike) -> Hold:
    """Return where the ship lies and what each line and fender carries: arrays (n, lines), (n, fenders), NaN
    where there is no answer, with a `reason`.

    The moment is that of a recorded log at a time, else of the plan (default: when the last line is made
    fast). Changes put one number or n of them in the place of what was measured or planned then: `tide` m,
    `draught_fwd`, `draught_aft` m, `heel_deg`, `wind_ms`, `wind_from_deg`, `current_ms`, `current_to_deg`.
    """
    unknown = sorted(changes.keys() - _FIELDS.keys())
    if unknown:
        raise WrongInput(f"{unknown[0]}: cannot be changed, expected one of {', '.join(_FIELDS)}")
    basis = Basis.of(stay)
    present = _present(basis, at, log)
    given = {_FIELDS[name]: np.asarray(value, dtype=float) for name, value in changes.items()}
    counts = {value.size for value in given.values() if value.ndim} - {1}
    if len(counts) > 1 or any(value.ndim > 1 for value in given.values()):
        raise WrongInput(f"{', '.join(changes)}: expected of each one number, or as many as of the others")
    count = counts.pop() if counts else 1
    columns = {name: np.broadcast_to(value, count).copy() for name, value in given.items()}
    situation = replace(present.situation().at(np.zeros(count, dtype=np.intp)), **columns)  # type: ignore[arg-type]
    if "heel_deg" in changes:
        situation = replace(situation, heel_measured=True)
    return mechanics.hold(basis.arrangement, situation, present.unstretched)


def holding_power(stay: Stay, at: Time | None = None, log: str | Path | None = None) -> holding.HoldingPower:
    """Return what wind the set holds from each of 72 directions (`from_deg`, `holds_ms`), and what gives
    first (`gives_first`, `where`); `weakest` is the index of the direction with the least. Where there is no
    answer its `reason` says why. The moment is that of `hold`; while brakes are in question, the smaller of
    both states counts from each direction."""
    basis = Basis.of(stay)
    present = _present(basis, at, log)
    here, other = present.situation(), present.if_slipped()
    states = [each.unstretched for each in (present, other) if each is not None]
    return reduce(
        lesser,
        [holding.holding_power(basis.arrangement, here, lengths, basis.criteria) for lengths in states],
    )


def look_ahead(
    stay: Stay, at: Time | None = None, log: str | Path | None = None, hours: float | None = None
) -> Forecast:
    """Return what the hours from a moment on bring to each line (`limits`), and the rounds that keep every
    line within its limits (`tending.rounds`). `hours` is the stay file's, else 12."""
    basis = Basis.of(stay)
    far = forecasts.far_of(stay, hours)
    return forecasts.look_ahead(basis, _present(basis, at, log), far)


def what_if(
    stay: Stay,
    changes: str,
    at: Time | None = None,
    log: str | Path | None = None,
    hours: float | None = None,
) -> answers.WhatIf:
    """Return what changes in words lead to, made at a moment (that of `hold`) in the order given: the verdict
    (`verdict.word`), what holds her (`figures`, `sets`) and every line (`lines`), before and with them, and
    both forecasts. Words are those of the command: `"let go 2; tug 30 on"`."""
    basis = Basis.of(stay)
    those = parse_changes(changes, stay)
    far = forecasts.far_of(stay, hours)
    return answers.what_if(basis, _present(basis, at, log), those, far)


def _present(basis: Basis, at: Time | None, log: str | Path | None) -> Present:
    """Return the instant that is asked about, of a log or of the plan."""
    return present_of(basis, None if log is None else Path(log), _time(basis, at, log))


def _time(basis: Basis, at: Time | None, log: str | Path | None) -> float:
    """Return UNIX seconds. Raises WrongInput for what is no time, and for a log without one."""
    if at is None:
        if log is not None:
            raise WrongInput(f'{log}: at which time? expected at="2026-03-02T04:10:00Z"')
        return when_fast(basis.stay)
    if isinstance(at, datetime):
        if at.tzinfo is None:
            raise WrongInput(f"{at}: a time without a zone, expected a datetime with a zone")
        seconds = at.timestamp()
    elif isinstance(at, str):
        try:
            return unix_time(at)
        except ValueError as error:
            raise WrongInput(f"{at!r} is no time, expected {TIME_EXPECTED}") from error
    else:
        seconds = float(at)
    if not is_time(seconds):
        raise WrongInput(f"{at!r} is no time, expected {TIME_EXPECTED}")
    return seconds
