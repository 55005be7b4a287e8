"""A recorded log as a live-like feed: at any speed, with pause and seek."""

from bisect import bisect_right
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from threading import Event, Lock, Thread
from time import monotonic
from typing import Final, Protocol

from console.feeds.batch import Batch
from console.feeds.clock import LEAP_S
from console.feeds.log import FeedLog

TICK_S: Final = 0.1
WARM_UP_S: Final = 660.0
"""Log time read before a place sought, so that means and gusts are as they would have been."""
MOST_PER_STEP_S: Final = 3600.0
"""Log time handed on at once, however fast the replay: whoever takes it must keep up."""


class Listener(Protocol):
    """Who takes the replay; called in its thread, and must only hand on."""

    def moved(self, time: float) -> None:
        """What follows begins anew, at this log time; lines up to it are given for warming up."""

    def lines(self, batch: Batch, until: float) -> None:
        """All lines up to log time `until` that were not given before; may be empty."""

    def ended(self, time: float) -> None:
        """The log ends at this time."""


@dataclass(slots=True)
class Pace:
    """Log time as a function of a monotonic clock: speed and pause."""

    log_time: float
    speed: float = 1.0
    paused: bool = False
    _since: float | None = None

    def advance(self, now: float) -> float:
        """Log time at `now`; goes on from the call before."""
        if self._since is not None and not self.paused:
            self.log_time += min((now - self._since) * self.speed, MOST_PER_STEP_S)
        self._since = now
        return self.log_time


class Replay:
    """Plays a log to a listener. `step` does all the work and may be called without the thread, with any
    clock. Silences of the log longer than a minute are passed over; the batch names them."""

    def __init__(
        self,
        path: str | Path,
        listener: Listener,
        speed: float = 1.0,
        start: float | None = None,
        clock: Callable[[], float] = monotonic,
    ) -> None:
        self.path = Path(path)
        self._listener = listener
        self._clock = clock
        self._lock = Lock()
        self._stopping = Event()
        self._thread = Thread(target=self._run, name="replay", daemon=True)
        self._batches: Iterator[Batch] = iter(())
        self._pending = Batch([], [], [], [])
        self._ended = False
        self._sought: float | None = None
        self._moved = False
        self.log: FeedLog
        self._pace = Pace(0.0, _positive(speed))
        self._open(start)

    def _open(self, at: float | None) -> None:
        """Begin at a log time, or at the log's beginning. Raises WrongInput when there is no such log."""
        self.log = FeedLog(self.path, None if at is None else at - WARM_UP_S)
        self._batches = iter(self.log)
        self._pending = next(self._batches, Batch([], [], [], []))
        first = self._pending.time[0] if self._pending.time else 0.0
        begin = first if at is None else max(at, first)
        self._pace = Pace(begin, self._pace.speed, self._pace.paused)
        self._ended, self._moved = False, True

    @property
    def time(self) -> float:
        """Log time reached."""
        return self._pace.log_time

    @property
    def speed(self) -> float:
        return self._pace.speed

    @property
    def paused(self) -> bool:
        return self._pace.paused

    def set_speed(self, times: float) -> None:
        with self._lock:
            self._pace.advance(self._clock())
            self._pace.speed = _positive(times)

    def pause(self, on: bool) -> None:
        with self._lock:
            self._pace.advance(self._clock())
            self._pace.paused = on

    def seek(self, time: float) -> None:
        """Go on from this log time with the next step; before the log's beginning means its beginning."""
        self._sought = time

    def step(self) -> bool:
        """Hand on what is due now; False once the log has ended."""
        with self._lock:
            if self._sought is not None:
                at, self._sought = self._sought, None
                self._open(at)
            if self._moved:
                self._moved = False
                self._listener.moved(self._pace.log_time)
            if self._ended:
                return False
            self._pass_over_silence()
            until = self._pace.advance(self._clock())
            while self._pending.time and self._pending.time[-1] <= until and self._next_batch(until):
                pass
            due = bisect_right(self._pending.time, until)
            self._listener.lines(self._pending.part(0, due), until)
            self._pending = self._pending.part(due, len(self._pending))
            if not self._pending.time and not self._refill():
                self._ended = True
                self._listener.ended(until)
            return not self._ended

    def _next_batch(self, until: float) -> bool:
        """Hand on a whole batch that is due; False when no other follows."""
        due, self._pending = self._pending, Batch([], [], [], [])
        self._listener.lines(due, min(until, due.time[-1]))
        return self._refill()

    def _refill(self) -> bool:
        while not self._pending.time:
            batch = next(self._batches, None)
            if batch is None:
                return False
            self._pending = batch
        return True

    def _pass_over_silence(self) -> None:
        silent = self._pending.time and self._pending.time[0] > self._pace.log_time + LEAP_S
        if silent and not self._pace.paused:
            self._pace.log_time = self._pending.time[0]

    def start(self) -> None:
        self._thread.start()

    def stop(self, timeout: float = 2.0) -> None:
        self._stopping.set()
        if self._thread.is_alive():
            self._thread.join(timeout)

    def _run(self) -> None:
        """Goes on after the end as well: someone may seek back."""
        while not self._stopping.is_set():
            self.step()
            self._stopping.wait(TICK_S)


def _positive(speed: float) -> float:
    if not 0.0 < speed < float("inf"):
        raise ValueError(f"speed {speed}, expected more than 0")
    return speed
