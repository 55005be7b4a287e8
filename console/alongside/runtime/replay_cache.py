"""A recorded stay played ahead of whoever watches it, kept in stretches of ten minutes. From the end of any
stretch it can be played on at once, and all events of the log are known before they are shown."""

import pickle
import threading
import zlib
from bisect import bisect_left, bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import inf
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.model import Event
from alongside.cycle.memory import Memory
from alongside.cycle.picture_of import series_names, series_values
from alongside.readings import Floats
from alongside.runtime.log_player import LogSource, Player
from alongside.runtime.worker import Worker

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
        """Return a stretch of what was played; `past` (n, series) by `picture_of.series_values`."""
        columns = np.ascontiguousarray(past.T, dtype=np.float32).tobytes()
        packed = zlib.compress(pickle.dumps(memory), 1), zlib.compress(columns, 1)
        return cls(time, events, _kept_once(names), past_time, *packed)

    @property
    def memory(self) -> Memory:
        """Return the memory after it."""
        memory: Memory = pickle.loads(zlib.decompress(self.packed_memory))
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


class ReplayCache:
    """Stretches end to end, in order of time. Thread-safe.

    What follows depends on the user's actions. `branch` counts how often one was done or undone: a stretch of
    an older branch comes too late and is not taken.
    """

    def __init__(self) -> None:
        self._stretches: list[Stretch] = []
        self._over = False
        self._changed = threading.Condition()
        self.branch = 0

    def tail(self) -> tuple[int, Stretch | None, bool]:
        """Return the branch, the last stretch (None before the first), and True if the end is reached."""
        with self._changed:
            return self.branch, self._stretches[-1] if self._stretches else None, self._over

    def add(self, stretch: Stretch, branch: int) -> bool:
        """Add the next stretch; return False where that branch is no longer played."""
        with self._changed:
            if branch != self.branch:
                return False
            self._stretches.append(stretch)
            self._changed.notify_all()
            return True

    def end(self, branch: int) -> None:
        """Note that the stay is at its end."""
        with self._changed:
            self._over = self._over or branch == self.branch
            self._changed.notify_all()

    def cut(self, time: float) -> None:
        """Drop results from `time` on; the user's action changed them."""
        with self._changed:
            self._stretches = self._stretches[: bisect_left(self._stretches, time, key=_time_of)]
            self._over = False
            self.branch += 1
            self._changed.notify_all()

    def go_on_from(self, stretch: Stretch) -> None:
        """Drop results from this stretch's time on and put it in their place."""
        with self._changed:
            self.cut(stretch.time)
            self._stretches.append(stretch)

    def before(self, time: float) -> Stretch | None:
        """Return the last stretch that ends before a time."""
        with self._changed:
            at = bisect_left(self._stretches, time, key=_time_of)
            return self._stretches[at - 1] if at else None

    def between(self, begin: float, end: float) -> list[Stretch]:
        """Return the stretches that end after `begin` and not after `end`."""
        with self._changed:
            first, last = (bisect_right(self._stretches, t, key=_time_of) for t in (begin, end))
            return self._stretches[first:last]

    def event(self, after: float, wanted: Callable[[Event], bool]) -> Event | None:
        """Return the first wanted event later than a time, as far as has been played."""
        for stretch in self.between(after, inf):
            for event in stretch.events:
                if event.time > after and wanted(event):
                    return event
        return None

    def event_before(self, before: float, wanted: Callable[[Event], bool]) -> Event | None:
        """Return the last wanted event earlier than a time, as far as has been played."""
        last: Event | None = None
        for stretch in self.between(-inf, inf):
            for event in stretch.events:
                if event.time < before and wanted(event):
                    last = event
            if stretch.time >= before:
                break
        return last

    def wait(self, known: Callable[[], bool], seconds: float) -> bool:
        """Wait until `known` holds or the stay is at its end; return False when neither came in time."""
        with self._changed:
            return self._changed.wait_for(lambda: self._over or known(), seconds)


def _time_of(stretch: Stretch) -> float:
    return stretch.time


class ReadAhead(Worker[None]):
    """Plays a log from the end of the cache on, in a thread of its own, until the cache holds all of it."""

    def __init__(self, source: LogSource, cache: ReplayCache) -> None:
        super().__init__("read ahead", self._fill, lambda: None)
        self._source, self._cache = source, cache

    def _fill(self) -> None:
        try:
            self._read_ahead()
        except Exception:
            self._cache.end(self._cache.branch)  # what is not known ahead must be played instead
            raise

    def _read_ahead(self) -> None:
        """Play the present branch to its end, or until another takes its place."""
        branch, tail, over = self._cache.tail()
        if over:
            return
        player = self._source.rewound() if tail is None else self._source.resumed(tail.memory, tail.time)
        until = player.starts_at - 1.0 if tail is None else tail.time
        while not (self.stopping() or player.is_over):
            until = max(until, player.next_time - 1.0) + STRETCH_S
            stretch = stretch_of(player, until)
            if stretch is None and player.ended:
                break
            if stretch is not None and not self._cache.add(stretch, branch):
                self.wake()
                return
        self._cache.end(branch)


def stretch_of(player: Player, until: float) -> Stretch | None:
    """Play to a time; return None where there was no cycle."""
    events: list[Event] = []
    times: list[Floats] = []
    rows: list[NDArray[np.float32]] = []
    for block in player.play_to(until):
        events += block.events
        due = block.readings.time % PAST_EVERY_S == 0.0
        times.append(block.readings.time[due])
        rows.append(series_values(player.basis, block)[due].astype(np.float32))
    if player.time is None or not times:
        return None
    names = series_names(player.basis, player.intake.channels)
    past = np.concatenate(times), np.concatenate(rows)
    return Stretch.of(player.time, player.memory, tuple(events), names, *past)
