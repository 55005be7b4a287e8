"""Draughts and heel when a cargo operation goes faster or slower than planned."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.expected.draughts import (
    displacement_of,
    draughts_with_masses,
    heel_with_masses,
    masses_on_board,
)
from alongside.readings import Floats
from alongside.stay.model import CargoOperation, Stay
from alongside.training.exercise.model import CargoRate

Shift = Callable[[Floats], Floats]
"""Time (k,), UNIX s -> by how much more a channel shows, in its unit."""


def draught_shift(stay: Stay, rate: CargoRate) -> dict[str, Shift]:
    """Return by how much draughts and heel differ from those of the plan, channel by channel.

    The plan's own draughts are calculated from those at the beginning of the log. What was really loaded need
    not be the plan's: only the difference goes into the stay. Raises WrongInput where the hydrostatics do not
    reach.
    """
    start, fwd, aft, gm = _afloat(stay)
    changed = [_changed(operation, rate) for operation in stay.cargo]
    x = [operation.x for operation in stay.cargo]
    y = [operation.y for operation in stay.cargo]

    def moved(time: Floats) -> tuple[Floats, Floats]:
        planned = masses_on_board(stay.cargo, time) - masses_on_board(stay.cargo, [start])
        more = np.stack([np.zeros(time.size) if c is None else c(time) for c in changed], axis=1)
        return planned, more

    def draughts(time: Floats) -> tuple[Floats, Floats, Floats]:
        planned, more = moved(time)
        as_planned = draughts_with_masses(stay.ship, fwd, aft, planned, x)
        as_it_goes = draughts_with_masses(stay.ship, fwd, aft, planned + more, x)
        displacement = displacement_of(stay.ship, fwd, aft) + planned.sum(axis=1)
        heel = heel_with_masses(planned + more, y, displacement + more.sum(axis=1), gm)
        heel = heel - heel_with_masses(planned, y, displacement, gm)
        return as_it_goes[0] - as_planned[0], as_it_goes[1] - as_planned[1], heel

    _refuse_gaps(stay, rate, draughts)
    return _by_channel(stay, rate, draughts)


def _by_channel(
    stay: Stay, rate: CargoRate, draughts: Callable[[Floats], tuple[Floats, Floats, Floats]]
) -> dict[str, Shift]:
    marks, ship = stay.ship.marks, stay.ship
    mid = (ship.lbp / 2.0 - marks.aft) / (marks.fwd - marks.aft)

    def shift(choose: Callable[[Floats, Floats, Floats], Floats]) -> Shift:
        def at(time: Floats) -> Floats:
            more = np.zeros(time.size)
            after = time > rate.at
            if after.any():
                more[after] = choose(*draughts(time[after]))
            return more

        return at

    def midship(side: float) -> Shift:
        half = side * ship.breadth / 2.0
        return shift(lambda fwd, aft, heel: aft + mid * (fwd - aft) + half * np.tan(np.radians(heel)))

    return {
        "draught_fwd": shift(lambda fwd, aft, heel: fwd),
        "draught_aft": shift(lambda fwd, aft, heel: aft),
        "draught_mid_port": midship(-1.0),
        "draught_mid_stbd": midship(1.0),
        "heel": shift(lambda fwd, aft, heel: heel),
    }


def _changed(operation: CargoOperation, rate: CargoRate) -> Callable[[Floats], Floats] | None:
    """Tonnes that an operation has moved more than planned, (k,); None for one that goes as planned."""
    going_on = operation.start <= rate.at < operation.end
    if operation.name != rate.operation or not going_on:
        return None
    done = (rate.at - operation.start) / 3600.0 * operation.rate
    rest = abs(operation.tonnes) - done
    sign = np.sign(operation.tonnes)
    then = replace(operation, start=rate.at, tonnes=sign * rest)

    def more(time: Floats) -> Floats:
        hours = np.maximum(time - rate.at, 0.0) / 3600.0
        moved = np.minimum(hours * operation.rate * rate.times, rest)
        extra: Floats = sign * moved - masses_on_board([then], time)[:, 0]
        return extra

    return more


def _afloat(stay: Stay) -> tuple[float, float, float, float]:
    """Time, draughts forward and aft to calculate from, and GM for the heel."""
    if stay.simulate is not None:
        scenario = stay.simulate
        return scenario.start, scenario.draught_fwd, scenario.draught_aft, scenario.gm
    for line in stay.lines:
        made = line.made_fast
        if made.draught_fwd is not None and made.draught_aft is not None:
            return made.at, made.draught_fwd, made.draught_aft, float("inf")
    raise WrongInput(
        f"{stay.file}: cargo_rate: no draughts to calculate from, expected them in "
        "made_fast of a line or in simulate"
    )


def _refuse_gaps(
    stay: Stay, rate: CargoRate, draughts: Callable[[Floats], tuple[Floats, Floats, Floats]]
) -> None:
    last = max(operation.end for operation in stay.cargo)
    fwd, _, _ = draughts(np.arange(rate.at, last + 600.0, 600.0))
    if np.isnan(fwd).any():
        raise WrongInput(f"{stay.file}: ship.hydrostatics: the table does not reach, with cargo_rate")
