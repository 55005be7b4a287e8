"""The trail of a stay: what its gauges measured, thinned to what a look ahead rests on."""

from collections import deque
from typing import Final

import numpy as np
from numpy.typing import NDArray

from console.cycle import Block, Memory
from console.outlook.present import Heard, Present
from console.readings import Reason

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
            self._rows.append(_row(block, int(row)))

    def cut(self, time: float) -> None:
        """Forget what came after `time`."""
        while self._rows and self._rows[-1][0] > time:
            self._rows.pop()

    def present(self, block: Block, memory: Memory) -> Present:
        """The last instant of a block, with all that was heard before it."""
        row = len(block.situation) - 1
        now = _row(block, row)
        rows = [*self._rows] if self._rows and self._rows[-1][0] >= now[0] else [*self._rows, now]
        columns = np.array(rows).T
        situation = block.situation
        return Present(
            time=now[0],
            tide=float(situation.tide[row]),
            draught_fwd=now[2],
            draught_aft=now[3],
            heel_deg=now[4],
            heel_measured=situation.heel_measured,
            wind_speed=now[5],
            wind_from=now[6],
            current_speed=float(situation.current_speed[row]),
            current_to=float(situation.current_to[row]),
            unstretched=memory.lengths.unstretched,
            heard=Heard(columns[0], *columns[1:]),
        )


def _row(block: Block, row: int) -> tuple[float, ...]:
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
