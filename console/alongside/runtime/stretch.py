"""A stretch of a recorded stay that was played ahead: its events, the memory after it, the past of charts."""

import pickle
import zlib
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.model import Event
from alongside.cycle.memory import Memory
from alongside.readings import Floats
from alongside.record.codec import from_text

STRETCH_S: Final = 600.0
PAST_EVERY_S: Final = 10.0
"""As screens thin the past."""


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """Result of playing one 10-minute stretch, up to the cycle at `time`: its events, the memory after it and
    its thinned chart history. A month has 4,300 of them, of which few are looked at: memory and history are
    packed, to about half of their size."""

    time: float
    events: tuple[Event, ...]
    names: tuple[str, ...]
    """Of the series of the history."""
    past_time: Floats
    packed_memory: bytes
    packed_past: bytes
    as_text: bool = False
    """Whether the memory is packed as `record.codec` writes it, as it is kept on disk."""

    @classmethod
    def of(
        cls,
        time: float,
        memory: Memory,
        events: tuple[Event, ...],
        names: tuple[str, ...],
        past_time: Floats,
        past: NDArray[np.float32],
    ) -> "Stretch":
        """Return a stretch of what was played; `past` (n, series) by `past_series.series_values`."""
        columns = np.ascontiguousarray(past.T, dtype=np.float32).tobytes()
        packed = zlib.compress(pickle.dumps(memory), 1), zlib.compress(columns, 1)
        return cls(time, events, _kept_once(names), past_time, *packed)

    @property
    def memory(self) -> Memory:
        """Return the memory after it."""
        packed = zlib.decompress(self.packed_memory)
        memory: Memory = from_text(Memory, packed) if self.as_text else pickle.loads(packed)
        return memory

    @property
    def past(self) -> NDArray[np.float32]:
        """Return the values (n, series) of its history."""
        columns = np.frombuffer(zlib.decompress(self.packed_past), dtype=np.float32)
        return columns.reshape(len(self.names), len(self.past_time)).T


@lru_cache(maxsize=8)
def _kept_once(names: tuple[str, ...]) -> tuple[str, ...]:
    """Return the same tuple for equal names: they are those of all stretches, or nearly."""
    return names
