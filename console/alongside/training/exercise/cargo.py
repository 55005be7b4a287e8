"""Draughts and heel when cargo operations go faster or slower than planned, stop and go on."""

from collections.abc import Callable, Sequence
from math import inf

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


def draught_shift(stay: Stay, rates: Sequence[CargoRate], until: float = inf) -> dict[str, Shift]:
    """Return by how much draughts and heel differ from those of the plan, channel by channel, when operations
    change their rates, each change until the next of the same operation.

    The plan's own draughts are calculated from those at the beginning of the log. What was really loaded need
    not be the plan's: only the difference goes into the stay. Raises WrongInput where the hydrostatics do not
    reach.
    """
    start, fwd, aft, gm = _afloat(stay)
    goes = [as_it_goes(operation, rates) for operation in stay.cargo]
    x = [operation.x for operation in stay.cargo]
    y = [operation.y for operation in stay.cargo]

    def moved(time: Floats) -> tuple[Floats, Floats]:
        by_plan = masses_on_board(stay.cargo, time)
        more = np.stack([moved(time) for moved in goes], axis=1) - by_plan
        return by_plan - masses_on_board(stay.cargo, [start]), more

    def draughts(time: Floats) -> tuple[Floats, Floats, Floats]:
        planned, more = moved(time)
        as_planned = draughts_with_masses(stay.ship, fwd, aft, planned, x)
        really = draughts_with_masses(stay.ship, fwd, aft, planned + more, x)
        displacement = displacement_of(stay.ship, fwd, aft) + planned.sum(axis=1)
        heel = heel_with_masses(planned + more, y, displacement + more.sum(axis=1), gm)
        heel = heel - heel_with_masses(planned, y, displacement, gm)
        return really[0] - as_planned[0], really[1] - as_planned[1], heel

    first = min(each.at for each in rates)
    _refuse_gaps(stay, first, until, draughts)
    return _by_channel(stay, first, draughts)


def _by_channel(
    stay: Stay, first: float, draughts: Callable[[Floats], tuple[Floats, Floats, Floats]]
) -> dict[str, Shift]:
    marks, ship = stay.ship.marks, stay.ship
    mid = (ship.lbp / 2.0 - marks.aft) / (marks.fwd - marks.aft)

    def shift(choose: Callable[[Floats, Floats, Floats], Floats]) -> Shift:
        def at(time: Floats) -> Floats:
            more = np.zeros(time.size)
            after = time > first
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


def as_it_goes(operation: CargoOperation, rates: Sequence[CargoRate]) -> Callable[[Floats], Floats]:
    """Return the tonnes that an operation has moved, (k,), when its rate changes, each change until the next:
    by none it goes as planned. One that is stopped before its time does not begin by itself; one that gets a
    rate before its time begins then."""
    own = sorted((each for each in rates if each.operation == operation.name), key=lambda each: each.at)
    early = [each for each in own if each.at < operation.start]
    at_start = [] if early else [(operation.start, 1.0)]
    if early and early[-1].times:
        at_start = [(operation.start, early[-1].times)]
    steps = sorted([*at_start, *((each.at, each.times) for each in own)], key=lambda step: step[0])
    edges = np.array([at for at, _ in steps] + [np.inf])
    pace = np.array([times * operation.rate for _, times in steps])

    def moved(time: Floats) -> Floats:
        spells = np.clip(time[:, None], edges[:-1], edges[1:]) - edges[:-1]
        amount: Floats = np.minimum(spells @ pace / 3600.0, abs(operation.tonnes))
        return np.copysign(amount, operation.tonnes)

    return moved


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
    stay: Stay, first: float, until: float, draughts: Callable[[Floats], tuple[Floats, Floats, Floats]]
) -> None:
    last = max(first, min(until, max(operation.end for operation in stay.cargo) + 600.0))
    fwd, _, _ = draughts(np.append(np.arange(first, last, 600.0), last))
    if np.isnan(fwd).any():
        raise WrongInput(f"{stay.file}: ship.hydrostatics: the table does not reach, with cargo_rate")
