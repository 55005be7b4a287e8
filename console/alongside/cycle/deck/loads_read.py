"""Loads that somebody has read of a line by hand: a gauge on the winch, a portable cell, or by eye that it
hangs slack. They change nothing by themselves; what they show of rope and length is offered."""

from dataclasses import dataclass
from math import isnan
from typing import Final

import numpy as np

from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.stay.model import Line, Stay

MOST: Final = 64
"""Loads that are kept, the newest of all lines."""
AFLOAT: Final = (
    "tide",
    "draught_fwd",
    "draught_aft",
    "heel_deg",
    "wind_speed",
    "wind_from",
    "current_speed",
    "current_to",
)
"""What the ship's place rests on, as a `Situation` names it."""


@dataclass(frozen=True, slots=True)
class LoadRead:
    """A load of a line, kN, with one standard deviation, 0 where nobody has said how sure it is, read at UNIX
    seconds, and all that the computed one rested on then: `afloat` in the order of `AFLOAT`, main rope out,
    m, of every line that had any."""

    line: str
    time: float
    load_kn: float
    sigma_kn: float
    afloat: tuple[float, ...]
    lengths: tuple[tuple[str, float], ...]
    stiffness: float = 1.0
    """What was taken for the line's stiffness then, times that of its curve."""
    more_m: tuple[tuple[str, float], ...] = ()
    """Main rope taken to be out beyond making fast then, m, of every line of which that was learnt."""

    @property
    def is_placed(self) -> bool:
        """Whether tide and draughts were known: without them no load is computed to set beside it."""
        at = dict(zip(AFLOAT, self.afloat, strict=True))
        return not any(isnan(at[name]) for name in ("tide", "draught_fwd", "draught_aft"))


def load_read(
    line: Line, load_kn: float, sigma_kn: float, here: Situation, stay: Stay, unstretched: Floats
) -> LoadRead:
    """Return a load of a line of a stay read at one instant; `unstretched` (lines,) in the order of the
    stay."""
    ids = [each.id for each in stay.lines]
    return LoadRead(
        line.id,
        float(here.time[0]),
        load_kn,
        sigma_kn,
        tuple(float(getattr(here, name)[0]) for name in AFLOAT),
        tuple((each, float(m)) for each, m in zip(ids, unstretched, strict=True) if not np.isnan(m)),
        1.0 if line.learnt is None else line.learnt.stiffness,
        tuple((each.id, each.learnt.more_m) for each in stay.lines if each.learnt is not None),
    )


def with_load(loads: tuple[LoadRead, ...], load: LoadRead) -> tuple[LoadRead, ...]:
    """Return the loads with one more, the newest `MOST`."""
    return (*loads, load)[-MOST:]


def of_line(loads: tuple[LoadRead, ...], line: str) -> tuple[LoadRead, ...]:
    """Return those of one line."""
    return tuple(each for each in loads if each.line == line)
