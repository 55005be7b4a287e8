"""A recorded stay at a desk: the same screen, the same actions, time at the pace the watch wants.

The desk plays the log at its pace; a reel plays it ahead in the background, so that any time can be gone to
at once and the next alert is known. What the watch does changes what follows: the reel then plays on from
there.
"""

import threading
import time
from collections.abc import Callable
from dataclasses import replace
from math import floor
from pathlib import Path
from queue import Empty, SimpleQueue
from typing import Final

from alongside.actions import Action, Done, Pause, ReplayControl, Seek, Speed, Step, ToAlert, ToTend
from alongside.alerts.model import Event
from alongside.cycle.advance import Plan
from alongside.cycle.picture import FeedRow, Picture
from alongside.cycle.picture_of import blank_picture
from alongside.errors import WrongInput
from alongside.record.faultlog import keep_trace
from alongside.runtime.keeper import LOG_S, Keeper, as_replay, feed_rows
from alongside.runtime.log_player import Tape, with_forecast
from alongside.runtime.pace import Pace
from alongside.runtime.replay_cache import PAST_EVERY_S, Piece, Reel, Scanner
from alongside.stay.model import Stay

TICK_S: Final = 0.5
RISES: Final = frozenset({"raised", "worsened", "escalated"})
WAIT_S: Final = 0.2


class ReplayDesk:
    """Plays a log at `speed` times real time from `start` on; with `tape`, what an exercise makes of the log
    instead. `shown` changes Pictures before they are delivered; without `looks_ahead` they have no forecast
    (what comes soon is told as the tape has it).

    Going back undoes what the watch did after that time. `done` is what stands.
    """

    def __init__(
        self,
        stay: Stay,
        log: Path,
        speed: float = 1.0,
        start: float | None = None,
        monotonic: Callable[[], float] = time.monotonic,
        tape: Tape | None = None,
        shown: Callable[[Picture], Picture] = lambda picture: picture,
        looks_ahead: bool = True,
    ) -> None:
        self.stay = stay
        self._tape = tape or with_forecast(Tape(Plan.of(stay, ahead=True), log))
        self._monotonic = monotonic
        self._player = self._tape.rewound()
        first = self._player.starts_at
        if first != first:
            raise WrongInput(f"{log}: no line with a time, expected sentences with TAG blocks")
        self._first = first
        self._keeper = Keeper(self._tape.plan, self._player.intake.channels, looks_ahead=looks_ahead)
        self._pace = Pace(speed, first, monotonic())
        self._start = first if start is None else start
        self._reel = Reel()
        self._scanner = Scanner(self._tape, self._reel)
        self._steps = 0
        self._shown = shown
        self._last_shown = as_replay(blank_picture(stay), speed, paused=False)
        self.done: list[Done] = []
        self._asked: SimpleQueue[Action | ReplayControl] = SimpleQueue()
        self._wake = threading.Event()
        self._stopping = threading.Event()
        self._thread = threading.Thread(target=self._run, name="replay", daemon=True)
        self._deliver: Callable[[Picture], None] = lambda _picture: None

    def start(self, deliver: Callable[[Picture], None]) -> None:
        self._deliver = deliver
        self._scanner.start()
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
        self._scanner.stop()

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
        if self._steps:
            until = self._player.next_time + self._steps - 1.0
            self._pace, self._steps = self._pace.stopped(until, self._monotonic()), 0
        if actions:
            self._do(actions)
        until = self._pace.now(self._monotonic())
        self._play(until)
        slept = self._player.next_time > until + TICK_S * self._pace.speed + 1.0
        if slept and not self._pace.paused:
            self._pace = self._pace.moved(self._player.next_time, self._monotonic())
        self._show()

    def _take_asked(self) -> list[Action]:
        """Take what was asked off the queue; controls take effect at once."""
        actions: list[Action] = []
        while True:
            try:
                asked = self._asked.get_nowait()
            except Empty:
                return actions
            if isinstance(asked, Action):
                actions.append(asked)
            else:
                self._control(asked)

    def _control(self, control: ReplayControl) -> None:
        now = self._monotonic()
        match control:
            case Speed(times):
                self._pace = self._pace.at_speed(times, now)
            case Pause(on):
                self._pace = self._pace.halted(on, now)
            case Seek(time):
                self._seek(time)
            case Step(cycles):
                self._steps += cycles
            case ToAlert(way):
                self._to_event(way, "alert", lambda event: event.event in RISES)
            case ToTend(way):
                self._to_event(way, "tending", lambda event: event.event == "tended")

    def _do(self, actions: list[Action]) -> None:
        """Let what the watch did take effect at the next cycle; from there the reel plays on anew."""
        at = self._player.next_time
        self._play(at, actions)
        if self._player.time is None or self._player.time < at:
            self._tell("Not done: the log is at its end")
            return
        self.done += [Done(at, action) for action in actions]
        tail = self._reel.before(at)
        self._reel.go_on_from(self._piece_since(tail.time if tail else float("-inf")))
        self._scanner.wake()

    def _piece_since(self, begin: float) -> Piece:
        """What was played after a time, as a piece."""
        assert self._player.time is not None, "a cycle has been played"
        events = tuple(event for event in self._keeper.log if event.time > begin)
        times, values = self._keeper.past.rows_after(begin)
        due = times % PAST_EVERY_S == 0.0
        return Piece(self._player.time, self._player.memory, events, times[due], values[due])

    def _play(self, until: float, actions: list[Action] | None = None) -> None:
        for block in self._player.play_to(until, actions or ()):
            self._keeper.follow(self._player.plan)
            self._keeper.keep(block)
            if self._stopping.is_set():
                return

    def _play_as_done(self, until: float) -> None:
        """Play on with what was done on the way."""
        here = self._player.time
        for at in sorted({done.time for done in self.done if (here or 0.0) < done.time <= until}):
            self._play(at - 1.0)
            self._play(at, [done.action for done in self.done if done.time == at])
        self._play(until)

    def _to_event(self, way: int, what: str, wanted: Callable[[Event], bool]) -> None:
        """Go to the next or the previous such event and stand still there."""
        here = self._player.time or self._first
        found = None
        if way > 0:
            while found is None and not self._stopping.is_set():
                over = self._reel.tail()[2]
                found = self._reel.event(here, wanted)
                if over:
                    break
                self._reel.wait(lambda: self._reel.event(here, wanted) is not None, WAIT_S)
        else:
            self._know(here)
            found = self._reel.event_before(here, wanted)
        if found is None:
            self._tell(f"No {'later' if way > 0 else 'earlier'} {what}")
            return
        self._seek(found.time)
        self._pace = self._pace.halted(True, self._monotonic())

    def _seek(self, to: float) -> None:
        """Bring the player to the cycle at `to`, and the pace with it."""
        to = max(to, self._first)
        undone = [done.time for done in self.done if done.time > to]
        if undone:
            self.done = [done for done in self.done if done.time <= to]
            self._reel.cut(min(undone))
            self._scanner.wake()
        self._know(to)
        _, tail, over = self._reel.tail()
        if over and tail is not None:
            to = min(to, tail.time)
        piece = self._reel.before(to)
        here = self._player.time
        ahead = piece is not None and (here is None or here < piece.time)
        if ahead or (here is not None and here >= to):
            self._go_on_from(piece)
        self._play_as_done(to)
        if (self._player.time or 0.0) < floor(to):
            # Nothing was watched at that time: the first cycle after the gap stands for it.
            to = self._player.next_time
            self._play(to)
        self._pace = self._pace.moved(to, self._monotonic())
        self._show()

    def _know(self, time: float) -> None:
        """Wait until the reel knows the stay up to a time."""

        def known() -> bool:
            tail = self._reel.tail()[1]
            return tail is not None and tail.time >= time

        while not self._stopping.is_set() and not self._reel.wait(known, WAIT_S):
            tail = self._reel.tail()[1]
            reading = (tail.time if tail else self._first, time)
            self._deliver(replace(self._last_shown, reading=reading))

    def _go_on_from(self, piece: Piece | None) -> None:
        """Take a piece's end for the present; None for the beginning of the log."""
        if piece is None:
            self._player = self._tape.rewound()
            self._keeper.begin_again([self._started()], ())
            return
        self._player = self._tape.resumed(piece.memory, piece.time)
        kept = self._reel.between(piece.time - LOG_S, piece.time)
        events = [self._started(), *(event for each in kept for event in each.events)]
        self._keeper.begin_again(events, ((each.past_time, each.past) for each in kept))

    def _started(self) -> Event:
        return Event(self._first, "started", text=self._tape.plan.stay.name)

    def _tell(self, text: str) -> None:
        """A word to the watch, in the history."""
        self._keeper.tell([Event(self._player.time or self._first, "note", text=text)])

    def _show(self) -> None:
        picture = self._keeper.picture(self._player.memory, self._feed_rows())
        if picture is not None:
            paused = self._pace.paused or self._over()
            self._last_shown = as_replay(self._shown(picture), self._pace.speed, paused)
            self._deliver(self._last_shown)

    def _over(self) -> bool:
        """Whether the log is at its end."""
        newest = self._player.time
        return (
            self._player.is_over and newest is not None and self._pace.now(self._monotonic()) > newest + 1.0
        )

    def _feed_rows(self) -> tuple[FeedRow, ...]:
        note = f"the log {self._player.log.note}" if self._player.log.note else ""
        return feed_rows(self._tape.plan.stay, self._player.intake, {}, str(self._tape.path), note)
