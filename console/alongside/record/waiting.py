"""Waiting in memory while the disk takes nothing: in order, bounded, what is given up counted."""

from collections import deque
from dataclasses import replace
from math import inf
from typing import Final

from alongside.feeds.inbox import FeedLine
from alongside.record.entries import Entry, KeptState

MOST_ENTRIES: Final = 20_000
"""Cycles in which something happened; in the worst case, one a second, five hours."""
MOST_STATES: Final = 2_000
MOST_LINES: Final = 50_000


class WaitingEntries:
    """Entries not in the journal yet, oldest first. Of too many states the oldest are given up first; events
    and actions only when there are thousands of them."""

    def __init__(self) -> None:
        self.lost_states = 0
        self.lost_events = 0
        self.events = self.actions = 0
        """What is not in the journal, given up or not; `since`: the time of the first."""
        self.since = inf
        self._entries: deque[Entry] = deque()
        self._states: deque[KeptState] = deque()

    def __bool__(self) -> bool:
        return bool(self._entries or self._states)

    def add(self, entry: Entry) -> None:
        if entry.run is not None and self._states:
            # They are of the run before: they may not come after this.
            self._entries.append(Entry(self._states[-1].time, states=tuple(self._states)))
            self._states.clear()
        self._states.extend(entry.states)
        while len(self._states) > MOST_STATES:
            self._states.popleft()
            self.lost_states += 1
        if entry.memory is not None:
            self._forget_memory()
        if not (entry := replace(entry, states=())):
            return
        self.events += len(entry.events)
        self.actions += len(entry.actions)
        if entry.events or entry.actions:
            self.since = min(self.since, entry.time)
        self._entries.append(entry)
        if len(self._entries) > MOST_ENTRIES:
            oldest = self._entries.popleft()
            self.lost_events += len(oldest.events) + len(oldest.actions)
            self.lost_states += len(oldest.states)
            if oldest.run is not None and self._entries[0].run is None:
                self._entries[0] = replace(
                    self._entries[0], run=oldest.run
                )  # its columns are those of all after

    def all(self) -> list[Entry]:
        """Return all of it, to be written together; the last holds the states."""
        states = tuple(self._states)
        return [*self._entries, *([Entry(states[-1].time, states=states)] if states else [])]

    def clear(self) -> None:
        self._entries.clear()
        self._states.clear()
        self.lost_states = self.lost_events = self.events = self.actions = 0
        self.since = inf

    def _forget_memory(self) -> None:
        """Only the newest memory is worth its room: the one before may go once there is a newer."""
        if self._entries and self._entries[-1].memory is not None:
            self._entries[-1] = replace(self._entries[-1], memory=None)


class WaitingLines:
    """Lines of feeds not in a feed log yet; `since` when."""

    def __init__(self) -> None:
        self.lost = 0
        self.since = inf
        self._lines: deque[FeedLine] = deque(maxlen=MOST_LINES)

    def add(self, lines: list[FeedLine]) -> None:
        self.lost += max(0, len(self._lines) + len(lines) - MOST_LINES)
        self._lines.extend(lines)
        self.since = min([self.since, *(time for time, *_ in lines)])

    @property
    def count(self) -> int:
        """Return how many lines came, given up or not."""
        return self.lost + len(self._lines)

    def all(self) -> list[FeedLine]:
        return list(self._lines)

    def clear(self) -> None:
        self._lines.clear()
        self.lost = 0
        self.since = inf
