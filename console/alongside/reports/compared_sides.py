"""One of two stays that are compared: its forecast, and what its lines hold, by its plan alone."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present
from alongside.forecast.expected.ensemble import expected_situations
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.model import Forecast
from alongside.forecast.present import Present
from alongside.forecast.what_if.state_now import nearest_direction
from alongside.mechanics.holding import HoldingPower, holding_power
from alongside.readings import Floats
from alongside.units import iso_time


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """One of the two: its forecast, and the least that the set holds at the beginning, at the highest and at
    the lowest float (None: not known)."""

    basis: Basis
    forecast: Forecast
    holding: HoldingPower | None


def side_of(basis: Basis, at: float, far: Far) -> Side:
    """Return a stay by its plan from `at` on. Raises WrongInput where the plan leaves something open."""
    present = planned_present(basis.stay, basis.arrangement, at)
    forecast = look_ahead(basis, present, far)
    if forecast.reason:
        why = "; ".join((forecast.reason, *forecast.notes))
        raise WrongInput(f"{basis.stay.file}: no look ahead at {iso_time(at)}: {why}")
    return Side(basis, forecast, _weakest_holding(basis, present, forecast))


def _weakest_holding(basis: Basis, present: Present, forecast: Forecast) -> HoldingPower | None:
    """Return the least from each direction at the beginning, at the highest and at the lowest float, with
    the rounds done that are due by then."""
    height = forecast.tide.expected - (forecast.draught_fwd.expected + forecast.draught_aft.expected) / 2.0
    if np.isnan(height).all():
        return None
    rows = sorted({0, int(np.nanargmax(height)), int(np.nanargmin(height))})
    expected = expected_situations(basis.stay, present, forecast.times, members=1).situation()
    found = [
        holding_power(
            basis.arrangement,
            expected.rows(row, row + 1),
            _lengths_at(forecast, present, float(forecast.times[row])),
            criteria=basis.criteria,
        )
        for row in rows
    ]
    return least_of([each for each in found if not each.reason])


def _lengths_at(forecast: Forecast, present: Present, time: float) -> Floats:
    """Return main rope out, m (lines,), at a time, with the rounds done that are due by then: a set that is
    tended is not judged by what it holds untended."""
    lengths = present.unstretched.copy()
    for each in forecast.tending.rounds:
        if each.latest <= time:
            for move in each.moves:
                lengths[forecast.lines.index(move.line)] += move.pay_out_m
    return lengths


def least_of(powers: Sequence[HoldingPower]) -> HoldingPower | None:
    """Return the least of several holding powers from each direction, of strength and of contact; None of
    none."""
    if not powers:
        return None
    holds = np.array([each.holds_ms for each in powers])
    least = holds.argmin(axis=0).tolist()
    return replace(
        powers[0],
        holds_ms=holds.min(axis=0),
        contact_ms=np.min([each.contact_ms for each in powers], axis=0),
        drift_m=np.array([powers[row].drift_m[at] for at, row in enumerate(least)]),
        gives_first=tuple(powers[row].gives_first[at] for at, row in enumerate(least)),
        where=tuple(powers[row].where[at] for at, row in enumerate(least)),
    )


def square_off(side: Side, power: HoldingPower) -> int:
    """Return the index of the direction from which the wind blows square off the berth."""
    return nearest_direction(power, side.basis.stay.berth.bearing_of_x + 90.0)


def incurable_lines(side: Side) -> tuple[str, ...]:
    """Return the lines that no length keeps within limits."""
    return tuple(dict.fromkeys(each.line for each in side.forecast.tending.cannot_cure))
