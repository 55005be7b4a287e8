"""A recorded stay at a desk: the same screen, the same actions, time at the pace the watch wants."""

import threading
import time
from bisect import bisect_left
from collections.abc import Callable
from pathlib import Path
from queue import Empty, SimpleQueue
from typing import Final

from console.actions import Action, Pause, ReplayControl, Seek, Speed
from console.alerts.model import Event
from console.cycle import Memory, Plan, advance_guarded
from console.errors import WrongInput
from console.faultlog import keep_trace
from console.keeper import Keeper, as_replay, feed_rows
from console.picture import FeedRow, Picture
from console.player import Player
from console.stay.model import Stay

TICK_S: Final = 0.5
CHECKPOINT_S: Final = 300.0
"""Log time between memories kept for going back; one is small, since it holds lengths and alerts only."""


class ReplayDesk:
    """Plays a log at `speed` times real time from `start` on.

    Going back takes the memory of a checkpoint before; what the watch did after it is undone.
    """

    def __init__(
        self,
        stay: Stay,
        log: Path,
        speed: float = 1.0,
        start: float | None = None,
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        self._plan = Plan.of(stay)
        self._path = log
        self._monotonic = monotonic
        self._player = Player(self._plan, log, cycle=advance_guarded)
        first = self._player.starts_at
        if first != first:
            raise WrongInput(f"{log}: no line with a time, expected sentences with TAG blocks")
        self._first = first
        self._keeper = Keeper(self._plan, self._player.intake.channels)
        self._pace = Pace(speed, first, monotonic())
        self._start = first if start is None else start
        self._checkpoints: list[tuple[float, Memory]] = []
        self._asked: SimpleQueue[Action | ReplayControl] = SimpleQueue()
        self._wake = threading.Event()
        self._stopping = threading.Event()
        self._thread = threading.Thread(target=self._run, name="replay", daemon=True)
        self._deliver: Callable[[Picture], None] = lambda _picture: None

    def start(self, deliver: Callable[[Picture], None]) -> None:
        self._deliver = deliver
        self._thread.start()

    def act(self, action: Action) -> None:
        self._asked.put(action)
        self._wake.set()

    def control(self, control: ReplayControl) -> None:
        self._asked.put(control)
        self._wake.set()

    def stop(self) -> None:
        self._stopping.set()
        self._wake.set()
        if self._thread.is_alive():
            self._thread.join()

    def _run(self) -> None:
        self._keeper.tell([self._started()])
        self._seek(self._start)
        while not self._stopping.is_set():
            try:
                self._tick()
            except Exception:  # guards the thread: a replay that fails in one tick goes on with the next
                keep_trace()
            self._wake.wait(TICK_S)
            self._wake.clear()

    def _tick(self) -> None:
        """Do what was asked, play to where the pace has come, show it."""
        actions = self._take_asked()
        until = self._pace.now(self._monotonic())
        if actions:
            until = max(until, self._player.next_time)
        self._play(until, actions)
        if self._player.next_time > until + TICK_S * self._pace.speed + 1.0:
            self._pace = self._pace.moved(self._player.next_time, self._monotonic())
        self._show()

    def _take_asked(self) -> list[Action]:
        actions: list[Action] = []
        while True:
            try:
                asked = self._asked.get_nowait()
            except Empty:
                return actions
            now = self._monotonic()
            if isinstance(asked, Speed):
                self._pace = Pace(asked.times, self._pace.now(now), now, self._pace.paused)
            elif isinstance(asked, Pause):
                self._pace = Pace(self._pace.speed, self._pace.now(now), now, asked.on)
            elif isinstance(asked, Seek):
                self._seek(asked.time)
            else:
                actions.append(asked)

    def _play(self, until: float, actions: list[Action]) -> None:
        for block in self._player.play_to(until, actions):
            self._keeper.keep(block)
            self._checkpoint()
            if self._stopping.is_set():
                return

    def _checkpoint(self) -> None:
        at = self._player.time
        if at is not None and (not self._checkpoints or at >= self._checkpoints[-1][0] + CHECKPOINT_S):
            self._checkpoints.append((at, self._player.memory))

    def _seek(self, to: float) -> None:
        """Bring the player to the cycle at `to`, and the pace with it."""
        to = max(to, self._first)
        if self._player.time is not None and to < self._player.time:
            self._go_back(to)
        at = self._player.time or self._first
        while at < to and not self._stopping.is_set():
            self._play(min(to, at + CHECKPOINT_S), [])
            if self._player.ended and self._player.time == at:
                break
            at = max(self._player.time or to, self._player.next_time - 1.0)
        self._pace = self._pace.moved(min(to, at), self._monotonic())
        self._show()

    def _go_back(self, to: float) -> None:
        # The checkpoint lies before `to`, not at it: a cycle must be played for there to be a Picture.
        kept = bisect_left([at for at, _ in self._checkpoints], to)
        self._checkpoints = self._checkpoints[:kept]
        if self._checkpoints:
            at, memory = self._checkpoints[-1]
            self._player = Player.resumed(self._plan, self._path, memory, at, advance_guarded)
        else:
            at = self._first - 1.0
            self._player = Player(self._plan, self._path, cycle=advance_guarded)
        self._keeper.go_back(at)
        if not self._checkpoints:
            self._keeper.tell([self._started()])

    def _started(self) -> Event:
        return Event(self._first, "started", text=self._plan.stay.name)

    def _show(self) -> None:
        picture = self._keeper.picture(self._player.memory, self._feed_rows())
        if picture is not None:
            self._deliver(as_replay(picture, self._pace.speed, self._pace.paused or self._over()))

    def _over(self) -> bool:
        """Whether the log is at its end."""
        newest = self._player.time
        return self._player.ended and newest is not None and self._pace.now(self._monotonic()) > newest + 1.0

    def _feed_rows(self) -> tuple[FeedRow, ...]:
        note = f"the log {self._player.log.note}" if self._player.log.note else ""
        return feed_rows(self._plan.stay, self._player.intake, {}, str(self._path), note)


class Pace:
    """Log time by the clock on the wall; a new one is made wherever it changes."""

    def __init__(self, speed: float, log_time: float, wall: float, paused: bool = False) -> None:
        self.speed, self.paused = speed, paused
        self._log_time, self._wall = log_time, wall

    def now(self, wall: float) -> float:
        """Log time at an instant of the wall clock."""
        return self._log_time if self.paused else self._log_time + (wall - self._wall) * self.speed

    def moved(self, log_time: float, wall: float) -> "Pace":
        """The same pace, standing at another log time."""
        return Pace(self.speed, log_time, wall, self.paused)
