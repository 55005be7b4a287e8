"""Which states are kept: evenly all the time, densely around changes of alerts."""

from collections import deque
from collections.abc import Callable, Sequence
from math import inf
from typing import Final

from alongside.readings import Floats
from alongside.record.entries import KeptState

EVERY_S: Final = 10.0
"""Evenly, the pace of the charts: so that charts and trends go on after a restart as they were."""
DENSE_S: Final = 5.0
BEFORE_S: Final = 300.0
AFTER_S: Final = 600.0
_GRAIN: Final = 1e-6


class Thinning:
    """Chooses among instants that come in order. `last` is the newest even state kept by an earlier run."""

    def __init__(self, last: float = -inf) -> None:
        self._even = last
        self._dense = -inf
        self._until = -inf
        self._before: deque[KeptState] = deque(maxlen=int(BEFORE_S / DENSE_S))

    def before(self) -> tuple[KeptState, ...]:
        """Return the states of the last minutes that nothing asked to keep so far; they are forgotten."""
        before = tuple(self._before)
        self._before.clear()
        return before

    def chosen(
        self, times: Floats, alerts: Sequence[float], packed: Callable[[int], bytes]
    ) -> list[KeptState]:
        """Return states to keep of a block. `times` (n,); `alerts` are the times of changes of alerts in it,
        rising; `packed` packs the state of a row."""
        kept: list[KeptState] = []
        waiting = deque(alerts)
        for row, time in enumerate(times.tolist()):
            if waiting and waiting[0] <= time:
                while waiting and waiting[0] <= time:
                    self._until = waiting.popleft() + AFTER_S
                kept += [state for state in self._before if state.time >= time - BEFORE_S]
                self._before.clear()
            if time - self._even >= EVERY_S - _GRAIN:
                self._even = self._dense = time
                kept.append(KeptState(time, packed(row)))
            elif time - self._dense >= DENSE_S - _GRAIN:
                self._dense = time
                state = KeptState(time, packed(row), dense=True)
                if time <= self._until:
                    kept.append(state)
                else:
                    self._before.append(state)
        return kept
