"""A recorded stay played ahead of whoever watches it, kept in stretches of ten minutes. From the end of any
stretch it can be played on at once, and all events of the log are known before they are shown."""

import threading
from bisect import bisect_left, bisect_right
from collections.abc import Callable
from math import inf

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.model import Event
from alongside.cycle.past_series import series_names, series_values
from alongside.readings import Floats
from alongside.runtime.kept_play import KeptPlay
from alongside.runtime.log_player import LogSource, Player
from alongside.runtime.stretch import PAST_EVERY_S, STRETCH_S, Stretch
from alongside.runtime.worker import Worker


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
    """Plays a log from the end of the cache on, in a thread of its own, until the cache holds all of it; what
    an earlier replay has kept is not played again."""

    def __init__(self, source: LogSource, cache: ReplayCache) -> None:
        super().__init__("read ahead", self._fill, lambda: None)
        self._source, self._cache = source, cache
        self._kept = KeptPlay(source)

    def use(self, source: LogSource) -> None:
        """Go on by another source, once the cache has been cut."""
        self._source = source

    def _fill(self) -> None:
        try:
            self._read_ahead()
        except Exception:
            self._cache.end(self._cache.branch)  # what is not known ahead must be played instead
            raise

    def _read_ahead(self) -> None:
        """Play the present branch to its end, or until another takes its place."""
        branch, tail, over = self._cache.tail()
        if over or (tail is None and self._take_kept(branch)):
            return
        player = self._source.rewound() if tail is None else self._source.resumed(tail.memory, tail.time)
        until = player.starts_at - 1.0 if tail is None else tail.time
        while not (self.stopping() or player.is_over):
            until = max(until, player.next_time - 1.0) + STRETCH_S
            stretch = stretch_of(player, until)
            if stretch is None and player.ended:
                break
            if stretch is not None and not self._cache.add(stretch, branch):
                self._kept.drop()
                self.wake()
                return
            if stretch is not None:
                self._kept.add(stretch)
        self._cache.end(branch)
        if not self.stopping():
            self._kept.keep()

    def _take_kept(self, branch: int) -> bool:
        """Take what an earlier replay has kept; return whether there was anything, which is the whole log."""
        if branch:  # something was done already
            return False
        kept = self._kept.stretches()
        if kept and all(self._cache.add(stretch, branch) for stretch in kept):
            self._cache.end(branch)
        return bool(kept)


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
