"""Whether cargo goes over arms or hoses: which set of agreed limits counts when."""

from dataclasses import dataclass
from math import inf

import numpy as np
from numpy.typing import NDArray

from alongside.readings import Floats
from alongside.stay.model import CargoOperation, Stay


@dataclass(frozen=True, slots=True)
class TransferSaid:
    """What the watch has said: whether arms or hoses are connected, since UNIX seconds."""

    connected: bool
    at: float


def connected_at(stay: Stay, said: TransferSaid | None, time: Floats) -> NDArray[np.bool_]:
    """Return (m,) whether arms or hoses are connected at instants `time`, UNIX s.

    By the cargo plan as it is now, from the first operation's begin to the last one's end, and on while
    one that was stopped waits: between parcels nobody disconnects. What the watch has said stands from then
    on: that they are connected until it says otherwise, that they are not until an operation begins that
    was still to come.
    """
    begin, end = _by_plan(stay)
    if said is None:
        return np.asarray((time >= begin) & (time < end))
    if said.connected:
        return np.ones(time.size, dtype=bool)
    later = [each.start for each in operations_over_arms(stay) if each.start > said.at]
    return np.asarray((time >= min(later, default=inf)) & (time < end))


def _by_plan(stay: Stay) -> tuple[float, float]:
    """Return when arms or hoses are connected from and until by the plan; infinite where they never are."""
    operations = operations_over_arms(stay)
    begin = min((each.start for each in operations), default=inf)
    waits = _counted(stay, stay.cargo_waits)
    if waits:
        return min(begin, stay.cargo_as_of), inf
    return begin, max((each.end for each in operations), default=-inf)


def operations_over_arms(stay: Stay) -> tuple[CargoOperation, ...]:
    """Return the operations of the cargo plan that go over arms or hoses."""
    return _counted(stay, stay.cargo)


def _counted(stay: Stay, operations: tuple[CargoOperation, ...]) -> tuple[CargoOperation, ...]:
    named = None if stay.decide is None else stay.decide.transfer
    return tuple(each for each in operations if named is None or each.name in named)
