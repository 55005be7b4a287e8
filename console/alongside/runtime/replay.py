"""A recorded stay at a desk: the same screen, the same actions, time at the pace the watch wants.

The desk plays the log at its pace; another thread plays it ahead into a cache, so that any time can be gone
to at once and the next alert is known. What the watch does changes what follows: the cache is then filled
anew from there.
"""

import time
from collections.abc import Callable
from dataclasses import replace
from math import floor
from pathlib import Path
from typing import Final

from alongside.actions import Action, Done
from alongside.actions.controls import Control, Pause, Seek, Speed, Step, ToAlert, ToTend
from alongside.alerts.model import Event
from alongside.cycle.picture import DeskActs, FeedRow, Picture
from alongside.cycle.picture_of import blank_picture
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.runtime.log_player import LogSource, with_forecast
from alongside.runtime.log_spans import LogSpans
from alongside.runtime.picture_maker import LOG_S, PictureMaker, as_replay, feed_rows
from alongside.runtime.replay_cache import ReadAhead, ReplayCache
from alongside.runtime.replay_clock import ReplayClock
from alongside.runtime.stretch import PAST_EVERY_S, Stretch
from alongside.runtime.worker import Worker
from alongside.stay.model import Stay

TICK_S: Final = 0.5
RISES: Final = frozenset({"raised", "worsened", "escalated"})
WAIT_S: Final = 0.2


class ReplayDesk:
    """Plays a log at `speed` times real time from `start` on, or `source`, what an exercise makes of the log.
    `shown` changes Pictures before they are delivered; without `looks_ahead` they have no forecast
    (the alert `ahead` comes from the source all the same).

    Going back undoes what the watch did after that time. `done` is what stands.
    """

    def __init__(
        self,
        stay: Stay,
        log: Path,
        speed: float = 1.0,
        start: float | None = None,
        monotonic: Callable[[], float] = time.monotonic,
        source: LogSource | None = None,
        shown: Callable[[Picture], Picture] = lambda picture: picture,
        looks_ahead: bool = True,
    ) -> None:
        self.stay = stay
        self._source = source or with_forecast(LogSource(Basis.of(stay, ahead=True), log))
        self._monotonic = monotonic
        self._player = self._source.rewound()
        first = self._player.starts_at
        if first != first:
            raise WrongInput(f"{log}: no line with a time, expected sentences with TAG blocks")
        self._first = first
        self._pictures = PictureMaker(
            self._source.basis, self._player.intake.channels, looks_ahead=looks_ahead
        )
        self._clock = ReplayClock(speed, first, monotonic())
        self._start = first if start is None else start
        self._cache = ReplayCache()
        self._read_ahead = ReadAhead(self._source, self._cache)
        self._log_spans = LogSpans(self._source.path, self._source.end, self._source.basis.stay)
        self._steps = 0
        self._shown = shown
        self._last_shown = as_replay(shown(blank_picture(stay)), speed, paused=False)
        self.done: list[Done] = []
        self._acts = DeskActs()
        self._begun = False
        self._worker: Worker[Action | Control] = Worker("replay", self._step, lambda: TICK_S)

    def start(self, deliver: Callable[[Picture], None]) -> None:
        self._read_ahead.start()
        self._log_spans.start()
        self._worker.start(deliver)

    def act(self, action: Action) -> None:
        self._worker.post(action)

    def control(self, control: Control) -> None:
        self._worker.post(control)

    def stop(self) -> None:
        self._worker.stop()
        self._read_ahead.stop()
        self._log_spans.stop()

    def _step(self) -> None:
        """Do what was asked, play to where the clock has come, show it."""
        if not self._begun:
            self._begun = True
            self._pictures.log_events([self._started()])
            self._seek(self._start)
            return
        actions = self._take_asked()
        if self._steps:
            until = self._player.next_time + self._steps - 1.0
            self._clock, self._steps = self._clock.stopped(until, self._monotonic()), 0
        if actions:
            self._do(actions)
        until = self._clock.now(self._monotonic())
        self._play(until)
        slept = self._player.next_time > until + TICK_S * self._clock.speed + 1.0
        if slept and not self._clock.paused:
            self._clock = self._clock.moved(self._player.next_time, self._monotonic())
        self._show()

    def _take_asked(self) -> list[Action]:
        """Return the actions that were asked for; controls take effect at once."""
        actions: list[Action] = []
        for asked in self._worker.posted():
            if isinstance(asked, Action):
                actions.append(asked)
            else:
                self._control(asked)
        return actions

    def _control(self, control: Control) -> None:
        now = self._monotonic()
        match control:
            case Speed(times):
                self._clock = self._clock.at_speed(times, now)
            case Pause(on):
                self._clock = self._clock.halted(on, now)
            case Seek(time):
                self._seek(time)
            case Step(cycles):
                self._steps += cycles
            case ToAlert(way):
                self._to_event(way, "alert", lambda event: event.event in RISES)
            case ToTend(way):
                self._to_event(way, "tending", lambda event: event.event == "tended")

    def _do(self, actions: list[Action]) -> None:
        """Do what was asked for at the next cycle."""
        if self._take_effect(actions):
            self._acts = replace(self._acts, taken=self._acts.taken + len(actions))
        else:
            self._refuse(actions, "the log is at its end")

    def _take_effect(self, actions: list[Action]) -> bool:
        """Let actions take effect at the next cycle, and drop from the cache what came after it. Return False
        where there is none."""
        at = self._player.next_time
        self._play(at, actions)
        if self._player.time is None or self._player.time < at:
            return False
        self.done += [Done(at, action) for action in actions]
        tail = self._cache.before(at)
        self._cache.go_on_from(self._stretch_since(tail.time if tail else float("-inf")))
        self._read_ahead.wake()
        return True

    def _refuse(self, actions: list[Action], why: str) -> None:
        """Count actions that cannot be done, and say so in the history."""
        first, taken = self._acts.taken + 1, self._acts.taken + len(actions)
        self._acts = replace(self._acts, taken=taken, refused=(*self._acts.refused, *range(first, taken + 1)))
        self._tell(f"Not done: {why}")

    def _stretch_since(self, begin: float) -> Stretch:
        """Return what was played after a time as one stretch."""
        assert self._player.time is not None, "a cycle has been played"
        events = tuple(event for event in self._pictures.log if event.time > begin)
        times, values = self._pictures.past.rows_after(begin)
        due = times % PAST_EVERY_S == 0.0
        names, memory = self._pictures.names, self._player.memory
        return Stretch.of(self._player.time, memory, events, names, times[due], values[due])

    def _play(self, until: float, actions: list[Action] | None = None) -> None:
        for block in self._player.play_to(until, actions or ()):
            self._pictures.use_basis(self._player.basis)
            self._pictures.add(block, self._player.memory.lengths.brakes.asked)
            if self._worker.stopping():
                return

    def _play_as_done(self, until: float) -> None:
        """Play to a time, repeating what was done on the way."""
        here = self._player.time
        for at in sorted({done.time for done in self.done if (here or 0.0) < done.time <= until}):
            self._play(at - 1.0)
            self._play(at, [done.action for done in self.done if done.time == at])
        self._play(until)

    def _to_event(self, way: int, what: str, wanted: Callable[[Event], bool]) -> None:
        """Go to the next (`way` 1) or previous (-1) such event and pause there."""
        here = self._player.time or self._first
        event = None
        if way > 0:
            while event is None and not self._worker.stopping():
                over = self._cache.tail()[2]
                event = self._cache.event(here, wanted)
                if over:
                    break
                self._cache.wait(lambda: self._cache.event(here, wanted) is not None, WAIT_S)
        else:
            self._know(here)
            event = self._cache.event_before(here, wanted)
        if event is None:
            self._tell(f"No {'later' if way > 0 else 'earlier'} {what}")
            return
        self._seek(event.time)
        self._clock = self._clock.halted(True, self._monotonic())

    def _seek(self, to: float) -> None:
        """Bring player and clock to the cycle at `to`."""
        to = max(to, self._first)
        undone = [done.time for done in self.done if done.time > to]
        if undone:
            self.done = [done for done in self.done if done.time <= to]
            self._cache.cut(min(undone))
            self._read_ahead.wake()
        self._know(to)
        _, tail, over = self._cache.tail()
        if over and tail is not None:
            to = min(to, tail.time)
        stretch = self._cache.before(to)
        here = self._player.time
        ahead = stretch is not None and (here is None or here < stretch.time)
        if ahead or (here is not None and here >= to):
            self._go_on_from(stretch)
        self._play_as_done(to)
        if (self._player.time or 0.0) < floor(to):
            # Nothing was watched at that time: the first cycle after the gap stands for it.
            to = self._player.next_time
            self._play(to)
        self._clock = self._clock.moved(to, self._monotonic())
        self._show()

    def _know(self, time: float) -> None:
        """Wait until the cache reaches a time."""

        def known() -> bool:
            tail = self._cache.tail()[1]
            return tail is not None and tail.time >= time

        while not self._worker.stopping() and not self._cache.wait(known, WAIT_S):
            tail = self._cache.tail()[1]
            reading = (tail.time if tail else self._first, time)
            self._worker.deliver(replace(self._last_shown, reading=reading))

    def _go_on_from(self, stretch: Stretch | None) -> None:
        """Continue from the end of a stretch; None: from the beginning of the log."""
        if stretch is None:
            self._player = self._source.rewound()
            self._pictures.reset([self._started()], ())
            return
        self._player = self._source.resumed(stretch.memory, stretch.time)
        kept = self._cache.between(stretch.time - LOG_S, stretch.time)
        events = [self._started(), *(event for each in kept for event in each.events)]
        self._pictures.reset(events, ((each.names, each.past_time, each.past) for each in kept))

    def _started(self) -> Event:
        return Event(self._first, "started", text=self._source.basis.stay.name)

    def _tell(self, text: str) -> None:
        """Put a note into the history."""
        self._pictures.log_events([Event(self._player.time or self._first, "note", text=text)])

    def _show(self) -> None:
        picture = self._pictures.picture(self._player.memory, self._feed_rows())
        if picture is not None:
            paused = self._clock.paused or self._over()
            shown = as_replay(self._shown(picture), self._clock.speed, paused, self._log_spans.known)
            self._last_shown = replace(shown, acts=self._acts)
            self._worker.deliver(self._last_shown)

    def _over(self) -> bool:
        """Return True when the end of the log has been shown."""
        newest = self._player.time
        return (
            self._player.is_over and newest is not None and self._clock.now(self._monotonic()) > newest + 1.0
        )

    def _feed_rows(self) -> tuple[FeedRow, ...]:
        note = f"the log {self._player.log.note}" if self._player.log.note else ""
        return feed_rows(self._source.basis.stay, self._player.intake, {}, str(self._source.path), note)
