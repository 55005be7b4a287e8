"""The trail of a stay: what its gauges measured, thinned to what a look ahead rests on. Kept from blocks as
they come, or read back from the thinned past that charts draw."""

from collections import deque
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.cycle.advance import Block, Memory
from alongside.cycle.picture import History
from alongside.forecast.basis import Basis
from alongside.forecast.present import Heard, Present
from alongside.mechanics.situation import heel_from_midship
from alongside.readings import Floats, Reason

EVERY_S: Final = 300.0
MOST: Final = 30 * 288
"""Rows kept: thirty days."""
MEASURED: Final = ("tide", "draught_fwd", "draught_aft", "heel_deg", "wind_speed", "wind_from")


class Trail:
    """Rows (time, then `MEASURED`) of the first instant of every five minutes, however the stay is cut into
    blocks. Not for several threads; what `present` hands out is never altered."""

    def __init__(self) -> None:
        self._rows: deque[tuple[float, ...]] = deque(maxlen=MOST)

    def add(self, block: Block) -> None:
        """Take a block's instants."""
        period = np.floor(block.situation.time / EVERY_S)
        last = np.floor(self._rows[-1][0] / EVERY_S) if self._rows else -np.inf
        fresh = period > np.maximum(last, np.concatenate([[-np.inf], period[:-1]]))
        for row in np.flatnonzero(fresh):
            self._rows.append(trail_row(block, int(row)))

    def cut(self, time: float) -> None:
        """Forget what came after `time`."""
        while self._rows and self._rows[-1][0] > time:
            self._rows.pop()

    def present(self, block: Block, memory: Memory) -> Present:
        """The last instant of a block, with all that was heard before it."""
        now = trail_row(block, len(block.situation) - 1)
        rows = [*self._rows] if self._rows and self._rows[-1][0] >= now[0] else [*self._rows, now]
        columns = np.array(rows).T
        return present_at(block, memory, Heard(columns[0], *columns[1:]))


def present_at(block: Block, memory: Memory, heard: Heard) -> Present:
    """The last instant of a block, with what was heard up to it."""
    row = len(block.situation) - 1
    situation = block.situation
    return Present(
        time=float(situation.time[row]),
        tide=float(situation.tide[row]),
        draught_fwd=float(situation.draught_fwd[row]),
        draught_aft=float(situation.draught_aft[row]),
        heel_deg=float(situation.heel_deg[row]),
        heel_measured=situation.heel_measured,
        wind_speed=float(situation.wind_speed[row]),
        wind_from=float(situation.wind_from[row]),
        current_speed=float(situation.current_speed[row]),
        current_to=float(situation.current_to[row]),
        unstretched=memory.lengths.unstretched,
        heard=heard,
    )


def heard_in(history: History, basis: Basis, memory: Memory, now: float) -> Heard:
    """What the thinned past tells, one row every five minutes. A tide that merely stands in for a silent
    gauge is left out, as far as the gauge is silent still."""
    rows = np.searchsorted(history.time, np.arange(now, history.time[0] - 1.0, -EVERY_S)) - 1
    rows = np.unique(rows[rows >= 0]) if history.time.size else np.empty(0, dtype=np.intp)
    time = history.time[rows]

    def column(name: str) -> Floats:
        return history.series[name][rows] if name in history.series else np.full(time.size, np.nan)

    midship = column("draught_mid_port"), column("draught_mid_stbd")
    heel = column("heel")
    heel = np.where(np.isnan(heel), heel_from_midship(*midship, basis.stay.ship.breadth), heel)
    measured_until = memory.residuals[-1][0] + 60.0 if memory.residuals else np.inf
    tide = np.where(time > measured_until, np.nan, column("tide"))
    speed, come_from = column("wind_speed"), column("wind_from")
    return Heard(time, tide, column("draught_fwd"), column("draught_aft"), heel, speed, come_from)


def trail_row(block: Block, row: int) -> tuple[float, ...]:
    """The time and what `MEASURED` names at one instant; NaN where nothing was measured."""
    values = [float(getattr(block.situation, name)[row]) for name in MEASURED]
    if not _tide_measured(block)[row]:
        values[0] = float("nan")
    return float(block.situation.time[row]), *values


def _tide_measured(block: Block) -> NDArray[np.bool_]:
    """(n,) whether the tide was measured, and not merely expected."""
    readings = block.readings
    if "tide" not in readings.channels:
        return np.zeros(len(readings), dtype=bool)
    measured: NDArray[np.bool_] = readings.reason[:, readings.channels.index("tide")] != Reason.EXPECTED
    return measured
