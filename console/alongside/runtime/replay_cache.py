"""The reel: a recorded stay played through ahead of whoever watches it, kept in pieces. From the end of any
piece it can be played on at once, and all events of the log are known before they are shown."""

import threading
from bisect import bisect_left, bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from math import inf
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.model import Event
from alongside.cycle.advance import Memory
from alongside.cycle.picture_of import series_values
from alongside.readings import Floats
from alongside.record.faultlog import keep_trace
from alongside.runtime.log_player import Player, Tape

PIECE_S: Final = 600.0
PAST_EVERY_S: Final = 10.0
"""As screens thin the past."""


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """What came of one stretch of the stay, up to the cycle at `time`: the memory after it, what happened in
    it, and its thinned past (times, values by `picture_of.series_values`)."""

    time: float
    memory: Memory
    events: tuple[Event, ...]
    past_time: Floats
    past: NDArray[np.float32]


class Reel:
    """Pieces end to end, in order of time. For several threads.

    What is played depends on what is done. `branch` counts how often something was done or undone: pieces of
    an older branch come too late and are not taken.
    """

    def __init__(self) -> None:
        self._pieces: list[Piece] = []
        self._over = False
        self._changed = threading.Condition()
        self.branch = 0

    def tail(self) -> tuple[int, Piece | None, bool]:
        """The branch, the last piece (None before the first), and whether the stay is known to its end."""
        with self._changed:
            return self.branch, self._pieces[-1] if self._pieces else None, self._over

    def add(self, piece: Piece, branch: int) -> bool:
        """Add the next piece; False where that branch is no longer played."""
        with self._changed:
            if branch != self.branch:
                return False
            self._pieces.append(piece)
            self._changed.notify_all()
            return True

    def end(self, branch: int) -> None:
        """The stay is at its end."""
        with self._changed:
            self._over = self._over or branch == self.branch
            self._changed.notify_all()

    def cut(self, time: float) -> None:
        """Forget what came at `time` or later: something else was done there."""
        with self._changed:
            self._pieces = self._pieces[: bisect_left(self._pieces, time, key=_time_of)]
            self._over = False
            self.branch += 1
            self._changed.notify_all()

    def go_on_from(self, piece: Piece) -> None:
        """Play on from this piece: what was known from its time on is forgotten."""
        with self._changed:
            self.cut(piece.time)
            self._pieces.append(piece)

    def before(self, time: float) -> Piece | None:
        """The last piece that ends before a time."""
        with self._changed:
            at = bisect_left(self._pieces, time, key=_time_of)
            return self._pieces[at - 1] if at else None

    def between(self, begin: float, end: float) -> list[Piece]:
        """Pieces that end after `begin` and not after `end`."""
        with self._changed:
            first, last = (bisect_right(self._pieces, t, key=_time_of) for t in (begin, end))
            return self._pieces[first:last]

    def event(self, after: float, wanted: Callable[[Event], bool]) -> Event | None:
        """The first wanted event later than a time, as far as is known."""
        for piece in self.between(after, inf):
            for event in piece.events:
                if event.time > after and wanted(event):
                    return event
        return None

    def event_before(self, before: float, wanted: Callable[[Event], bool]) -> Event | None:
        """The last wanted event earlier than a time, as far as is known."""
        found: Event | None = None
        for piece in self.between(-inf, inf):
            for event in piece.events:
                if event.time < before and wanted(event):
                    found = event
            if piece.time >= before:
                break
        return found

    def wait(self, known: Callable[[], bool], seconds: float) -> bool:
        """Wait until more is known and `known` holds, the stay is at its end, or some time has passed."""
        with self._changed:
            return self._changed.wait_for(lambda: self._over or known(), seconds)


def _time_of(piece: Piece) -> float:
    return piece.time


class Scanner:
    """Plays the tape from the reel's tail on, in a thread of its own, until the reel knows all of it."""

    def __init__(self, tape: Tape, reel: Reel) -> None:
        self._tape, self._reel = tape, reel
        self._wake = threading.Event()
        self._stopping = threading.Event()
        self._thread = threading.Thread(target=self._run, name="reel", daemon=True)

    def start(self) -> None:
        self._thread.start()

    def wake(self) -> None:
        """The reel has been cut: play on from its tail."""
        self._wake.set()

    def stop(self) -> None:
        self._stopping.set()
        self._wake.set()
        if self._thread.is_alive():
            self._thread.join()

    def _run(self) -> None:
        while not self._stopping.is_set():
            self._wake.clear()
            try:
                self._scan()
            except Exception:  # guards the thread: what is not known ahead must be played instead
                keep_trace()
                self._reel.end(self._reel.branch)
            self._wake.wait()

    def _scan(self) -> None:
        """Play on the present branch until its end, or until another takes its place."""
        branch, tail, over = self._reel.tail()
        if over:
            return
        player = self._tape.rewound() if tail is None else self._tape.resumed(tail.memory, tail.time)
        until = player.starts_at - 1.0 if tail is None else tail.time
        while not (self._stopping.is_set() or player.is_over):
            until = max(until, player.next_time - 1.0) + PIECE_S
            piece = piece_of(player, until)
            if piece is None and player.ended:
                break
            if piece is not None and not self._reel.add(piece, branch):
                self._wake.set()
                return
        self._reel.end(branch)


def piece_of(player: Player, until: float) -> Piece | None:
    """Play to a time; None where there was no cycle."""
    events: list[Event] = []
    times: list[Floats] = []
    rows: list[NDArray[np.float32]] = []
    for block in player.play_to(until):
        events += block.events
        due = block.readings.time % PAST_EVERY_S == 0.0
        times.append(block.readings.time[due])
        rows.append(series_values(block)[due].astype(np.float32))
    if player.time is None or not times:
        return None
    return Piece(player.time, player.memory, tuple(events), np.concatenate(times), np.concatenate(rows))
