"""For how long the gauges were good, expected, suspect, lost over a stay."""

import numpy as np

from alongside.cycle.block import Block
from alongside.reports.batch.outcome import QUALITIES


class GaugeTime:
    """Adds up cycles, a second each, by the worst of the gauges that lines rest on."""

    def __init__(self) -> None:
        self._cycles = np.zeros(len(QUALITIES), dtype=np.int64)

    def add(self, block: Block) -> None:
        """Take in a block."""
        self._cycles += np.bincount(block.situation.quality, minlength=len(QUALITIES))

    def seconds(self) -> tuple[float, ...]:
        """Return seconds in each quality, from good to lost."""
        return tuple(float(self._cycles[quality]) for quality in QUALITIES)
