"""Loads of lines beside those computed as if brakes held: by load cells, and as if brakes in question had
slipped."""

from typing import Final

import numpy as np

from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.cell_loads import cell_loads
from alongside.mechanics.hold import hold
from alongside.mechanics.situation import situation_of
from alongside.readings import Floats
from alongside.record.states import States

BESIDE: Final = ("measured_kn", "slipped.tension_kn", "slipped.paid_out_m")
"""Quantities of each line, kN and m; those of `slipped` are not known while no brake is in question."""


def beside_computed(states: States) -> dict[str, Floats]:
    """Return (n,) each of `BESIDE` by line, such as `measured_kn.4`, of the lines that the states have."""
    ids = tuple(line.id for line in states.stay.lines)
    cells = cell_loads(states.readings(), ids)
    loads, ran_out = _if_slipped(states, ids)
    of = zip(BESIDE, (cells, loads, ran_out), strict=True)
    return {f"{name}.{line}": table[:, at] for name, table in of for at, line in enumerate(ids)}


def _if_slipped(states: States, ids: tuple[str, ...]) -> tuple[Floats, Floats]:
    """Return loads, kN, and the metres run out, (n, lines); the mechanics is asked only while a brake is in
    question."""
    ran_out = np.stack([states.numbers(f"ran_out_m.{line}") for line in ids], axis=1)
    asked = np.flatnonzero(~np.isnan(ran_out).all(axis=1))
    loads = np.full(ran_out.shape, np.nan)
    if asked.size:
        lengths = np.stack([states.numbers(f"slipped_m.{line}") for line in ids], axis=1)
        here = situation_of(states.stay, states.readings()).at(asked)
        loads[asked] = hold(arrangement_of(states.stay), here, lengths[asked]).lines.tension_kn
        ran_out[asked] = np.nan_to_num(ran_out[asked])
    return loads, ran_out
