"""What waits in memory while the disk takes nothing: kept in order, bounded, what is given up counted."""

from collections import deque
from dataclasses import replace
from typing import Final

from console.record.entries import Entry

MOST_ENTRIES: Final = 20_000
"""Cycles in which something happened; in the worst case, one a second, five hours."""
MOST_STATES: Final = 2_000
MOST_LINES: Final = 50_000

Line = tuple[float, str, bytes]


class WaitingEntries:
    """Entries not in the journal yet, oldest first. Of too many states the oldest are given up first; events
    and actions only when there are thousands."""

    def __init__(self) -> None:
        self.lost_states = 0
        self.lost_events = 0
        self._entries: deque[Entry] = deque()
        self._states = 0

    def __len__(self) -> int:
        return len(self._entries)

    def add(self, entry: Entry) -> None:
        if entry.memory is not None:
            self._forget_memories()
        self._entries.append(entry)
        self._states += len(entry.states)
        while self._states > MOST_STATES:
            self._give_up_states()
        if len(self._entries) > MOST_ENTRIES:
            oldest = self._entries.popleft()
            self._states -= len(oldest.states)
            self.lost_states += len(oldest.states)
            self.lost_events += len(oldest.events) + len(oldest.actions)

    def all(self) -> list[Entry]:
        return list(self._entries)

    def clear(self) -> None:
        self._entries.clear()
        self._states = self.lost_states = self.lost_events = 0

    def _forget_memories(self) -> None:
        """Only the newest memory is worth its room; the one before may go once there is a newer."""
        if self._entries and self._entries[-1].memory is not None:
            self._entries[-1] = replace(self._entries[-1], memory=None)

    def _give_up_states(self) -> None:
        for at, entry in enumerate(self._entries):
            if entry.states:
                self._entries[at] = replace(entry, states=())
                self._states -= len(entry.states)
                self.lost_states += len(entry.states)
                return


class WaitingLines:
    """Lines of feeds not in a feed log yet."""

    def __init__(self) -> None:
        self.lost = 0
        self._lines: deque[Line] = deque(maxlen=MOST_LINES)

    def add(self, lines: list[Line]) -> None:
        self.lost += max(0, len(self._lines) + len(lines) - MOST_LINES)
        self._lines.extend(lines)

    def all(self) -> list[Line]:
        return list(self._lines)

    def clear(self) -> None:
        self._lines.clear()
        self.lost = 0
