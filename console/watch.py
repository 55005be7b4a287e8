"""The live watch at a desk: feeds into the intake, a cycle each second, a Picture after each.

Reader threads put lines into a queue and do nothing else; all state is the worker thread's alone.
"""

import threading
import time
from collections.abc import Callable
from pathlib import Path
from queue import Empty, SimpleQueue
from typing import Final, TypeVar

import numpy as np

from console.actions import Action, ReplayControl
from console.alerts.model import Event
from console.cycle import Memory, Plan, advance_guarded
from console.faultlog import keep_trace
from console.feeds.intake import Intake
from console.feeds.ports import reader_of
from console.keeper import Keeper, feed_rows
from console.picture import Picture
from console.recording import Recording
from console.stay.model import Stay

CYCLE_S: Final = 1.0
Item = TypeVar("Item")


class LiveDesk:
    """Watches the feeds of a stay; `record` keeps all that they say in a feed log.

    A port that is missing or busy does not keep the watch from starting: the reader tries on, and the
    Picture says so. `wall` gives UNIX seconds.
    """

    def __init__(self, stay: Stay, record: Path | None = None, wall: Callable[[], float] = time.time) -> None:
        self._plan = Plan.of(stay)
        self._memory = Memory.at_start(stay)
        self._intake = Intake(stay)
        self._keeper = Keeper(self._plan, self._intake.channels)
        self._clock = WatchClock(wall)
        self._lines: SimpleQueue[tuple[float, str, bytes]] = SimpleQueue()
        self._actions: SimpleQueue[Action] = SimpleQueue()
        self._readers = [reader_of(feed, self._hear) for feed in stay.feeds]
        self._recording = Recording(record)
        self._wake = threading.Event()
        self._stopping = threading.Event()
        self._thread = threading.Thread(target=self._run, name="watch", daemon=True)
        self._deliver: Callable[[Picture], None] = lambda _picture: None

    def start(self, deliver: Callable[[Picture], None]) -> None:
        self._deliver = deliver
        for reader in self._readers:
            reader.start()
        self._thread.start()

    def act(self, action: Action) -> None:
        self._actions.put(action)
        self._wake.set()

    def control(self, control: ReplayControl) -> None:
        """A live watch keeps its own time."""

    def stop(self) -> None:
        for reader in self._readers:
            reader.stop()
        self._stopping.set()
        self._wake.set()
        if self._thread.is_alive():
            self._thread.join()
        self._recording.close()

    def _hear(self, at: float, feed: str, line: bytes) -> None:
        self._lines.put((at, feed, line))

    def _run(self) -> None:
        self._keeper.tell([Event(self._clock.now(), "started", text=self._plan.stay.name)])
        due = time.monotonic()
        while not self._stopping.is_set():
            try:
                self._tick()
            except Exception:  # guards the watch: a cycle that fails altogether must not be the last
                keep_trace()
            if time.monotonic() >= due:
                due = max(due + CYCLE_S, time.monotonic())
            self._wake.wait(max(0.0, due - time.monotonic()))
            self._wake.clear()

    def _tick(self) -> None:
        """One cycle: what was heard, what was done, what follows from it."""
        now, told = self._clock.tick()
        heard = _all_in(self._lines)
        for at, feed, line in heard:
            self._intake.take(at, feed, line)
        told += self._recording.write(now, heard)
        readings = self._intake.readings(np.array([now]))
        self._memory, block = advance_guarded(self._plan, self._memory, readings, _all_in(self._actions))
        self._keeper.tell(told)
        self._keeper.keep(block)
        status = {reader.feed: reader.status for reader in self._readers}
        picture = self._keeper.picture(self._memory, feed_rows(self._plan.stay, self._intake, status))
        if picture is not None:
            self._deliver(picture)


class WatchClock:
    """Time for cycles: the wall clock, but never backwards.

    A clock set forward is followed and told as a gap. One set back is told, and from then on time goes on
    from where it was, by as much as the wall clock moves: alerts and records must not run backwards.
    """

    LEAP_S: Final = 5.0

    def __init__(self, wall: Callable[[], float]) -> None:
        self._wall = wall
        self._offset = 0.0
        self._last = wall()

    def now(self) -> float:
        """The last time told."""
        return self._last

    def tick(self) -> tuple[float, list[Event]]:
        """The time of a new cycle, later than the last, and what is to be told of it."""
        told: list[Event] = []
        now = self._wall() + self._offset
        if now < self._last - self.LEAP_S:
            back = self._last - now
            told.append(Event(self._last, "gap", value=-back, text=f"the clock was set back by {back:.0f} s"))
            self._offset += back + CYCLE_S
            now = self._last + CYCLE_S
        elif now > self._last + 60.0:
            text = f"the watch slept or the clock was set forward: {now - self._last:.0f} s"
            told.append(Event(now, "gap", value=now - self._last, text=text))
        self._last = max(now, self._last + 0.001)
        return self._last, told


def _all_in(queue: "SimpleQueue[Item]") -> list[Item]:
    items: list[Item] = []
    try:
        while True:
            items.append(queue.get_nowait())
    except Empty:
        return items
