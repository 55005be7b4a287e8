"""States of a run as JSON lines, one every so many seconds of log time."""

from math import floor
from typing import Final, TextIO

import numpy as np

from alongside.cycle.block import Block
from alongside.forecast.basis import Basis
from alongside.readings import Floats
from alongside.reports.json_lines import state_lines

CYCLE_S: Final = 1.0


class StatesDue:
    """Writes the first state from `start` on, UNIX s, then one every so often, at least a cycle apart;
    `spread` as of `state_lines`."""

    def __init__(
        self, file: TextIO, basis: Basis, start: float, every: float = CYCLE_S, spread: bool = True
    ) -> None:
        self._file, self._basis, self._spread = file, basis, spread
        self._every, self._due = max(every, CYCLE_S), start

    def write_block(self, block: Block) -> None:
        """Write the states of a block that are due."""
        rows = self._rows_due(block.readings.time)
        self._file.writelines(f"{line}\n" for line in state_lines(self._basis, block, rows, self._spread))

    def _rows_due(self, times: Floats) -> list[int]:
        rows: list[int] = []
        while self._due <= times[-1]:
            row = int(np.searchsorted(times, self._due))
            rows.append(row)
            steps = floor((times[row] - self._due) / self._every) + 1
            self._due += steps * self._every
        return rows
