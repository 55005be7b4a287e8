"""Winch brakes that slip: a load above the brake's holding runs rope out instead of growing.

The line then carries the holding, and its unstretched length grows by what ran out; it stays that much longer
when the load eases. So what a stretch of time does to the lengths is a sequence: `render` finds the first
instant of a block at which a brake slips and the lengths from that instant on; the rest of the block goes
on from there. A live watch asks at every cycle, a replay for as many instants at once as it dares. Whether a
brake did slip is another question: `alongside.cycle.brakes`.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.situation import Situation
from alongside.readings import Floats

GRIP: Final = 1e-6
"""Of the holding: a load this little above it is rounding and runs nothing out."""


@dataclass(frozen=True, slots=True, eq=False)
class Rendered:
    """At `row` of the block rope ran out: `metres` (lines,) by line, 0 where none did; `unstretched` (lines,)
    main rope, m, from that row on."""

    row: int
    metres: Floats
    unstretched: Floats


def render(
    arrangement: Arrangement,
    situation: Situation,
    tension_kn: Floats,
    unstretched: Floats,
    holding_kn: Floats | None = None,
) -> Rendered | None:
    """Return the first instant at which a line runs out; None where none does.

    `tension_kn` (n, lines) is what the lines carry with `unstretched` (lines,) m, NaN where that does not
    count. A line runs out above `holding_kn` (lines,), what its winch brake holds, by default as set; one
    with none, NaN, stays as it is. Where nothing would hold her while brakes slip, or no length of rope gives
    the holding, nothing is known of the new lengths and they stay: the instant has its load above the
    holding, which is the alert.
    """
    holding = arrangement.brake_kn if holding_kn is None else holding_kn
    over = tension_kn > holding * (1.0 + GRIP)
    for row in np.flatnonzero(over.any(axis=1)):
        here = situation.rows(int(row), int(row) + 1)
        longer = _run_out(arrangement, here, unstretched, holding)
        metres = np.where(np.isnan(longer), 0.0, longer - unstretched)
        if (metres > 0.0).any():
            return Rendered(int(row), metres, np.where(metres > 0.0, longer, unstretched))
    return None


def _run_out(arrangement: Arrangement, here: Situation, unstretched: Floats, holding: Floats) -> Floats:
    """Return the lengths (lines,) after brakes have slipped at one instant, NaN for lines that did not."""
    held = hold(arrangement, here, unstretched, cap_kn=holding)
    gives = held.lines.tension_kn[0] > holding * (1.0 + GRIP)
    wanted = np.where(gives, holding, 0.0)
    longer = unstretched_for(arrangement, held.pose, wanted)[0]
    return np.where(gives, longer, np.nan)
