"""The live watch at a desk: feeds into the intake, a cycle each second, a Picture after each.

Threads that read ports put lines into a queue and do nothing else; all state is the worker's alone.
"""

import time
from collections.abc import Callable
from math import inf
from pathlib import Path
from queue import SimpleQueue
from typing import Final

import numpy as np

from alongside.actions import Action, ReplayControl
from alongside.alerts.model import Event
from alongside.cycle.advance import Circumstances, advance_guarded
from alongside.cycle.picture import Picture
from alongside.feeds.intake import Intake
from alongside.forecast.basis import Basis
from alongside.record.access import OWNER_ONLY, Access
from alongside.record.faultlog import guarded
from alongside.record.resume import begin_afresh, begin_on_record, restore, warm
from alongside.record.words import in_part_text
from alongside.runtime.feed_thread import FeedThread
from alongside.runtime.picture_maker import PictureMaker, feed_rows
from alongside.runtime.worker import Beat, Worker, all_in
from alongside.stay.model import Stay
from alongside.wording.times import span

CYCLE_S: Final = 1.0


class LiveDesk:
    """Watches the feeds of a stay; `record` is the folder of its record, with which it goes on, None for
    none; `access` says for whom that is.

    A port that is missing or busy does not keep the watch from starting: the reader tries on, and the
    Picture says so. `wall` gives UNIX seconds. Raises RecordInUse where another console keeps the record,
    WrongInput where the record is of another stay.
    """

    def __init__(
        self,
        stay: Stay,
        record: Path | None = None,
        wall: Callable[[], float] = time.time,
        access: Access = OWNER_ONLY,
    ) -> None:
        self._basis = Basis.of(stay, ahead=True)
        self._intake = Intake(stay)
        self._pictures = PictureMaker(self._basis, self._intake.channels)
        self.lost = ""
        """Once stopped: what could not be put on record to the last, in words."""
        self._begin(stay, record, wall, access)
        self._lines: SimpleQueue[tuple[float, str, bytes]] = SimpleQueue()
        self._feeds = [FeedThread(feed, self.hear) for feed in stay.feeds]
        self._worker: Worker[Action] = Worker("watch", self.cycle, Beat(CYCLE_S))

    def _begin(self, stay: Stay, folder: Path | None, wall: Callable[[], float], access: Access) -> None:
        """Begin, or go on from the record: with its memory, history, means of the gauges and charts."""
        now = wall()
        begun = begin_afresh(stay, now)
        if folder is not None:
            begun = begin_on_record(folder, stay, self._intake.channels, now, access)
        self._clock = WatchClock(wall, begun.time)
        self._memory, self._recorder, self._no_record = begun.memory, begun.recorder, begun.fault
        self._pictures.log_events(begun.log)
        failed: list[str] = []
        intake, past, channels = self._intake, self._pictures.past, self._intake.channels
        if folder is not None and begun.heard_until > -inf:
            guarded(
                "means of the gauges",
                lambda: warm(intake, folder, begun.heard_until, begun.time),
                None,
                failed,
            )
            if failed:
                intake.restart()
        guarded("charts", lambda: restore(past, self._basis, channels, begun.states), None, failed)
        if failed and self._recorder is not None:
            self._recorder.say(in_part_text(failed))
        self._first_events = begun.news

    def deliver_to(self, deliver: Callable[[Picture], None]) -> None:
        """Set who gets the Pictures, of a watch that is not started but cycled by hand."""
        self._worker.deliver = deliver

    def start(self, deliver: Callable[[Picture], None]) -> None:
        for feed in self._feeds:
            feed.start()
        self._worker.start(deliver)

    def act(self, action: Action) -> None:
        self._worker.post(action)

    def control(self, control: ReplayControl) -> None:
        """Ignored: not a replay."""

    def stop(self) -> None:
        for feed in self._feeds:
            feed.stop()
        self._worker.stop()
        recorder, self._recorder = self._recorder, None
        if recorder is not None:
            self.lost = recorder.end(Event(self._clock.tick()[0], "stopped", text="the watch was ended"))

    def hear(self, at: float, feed: str, line: bytes) -> None:
        """Take a line of a feed that came at a time of the wall clock; from any thread."""
        self._lines.put((at, feed, line))

    def cycle(self) -> None:
        """Do one cycle: lines and actions in, alerts, record, then the Picture. A watch that was started does
        this each second by itself."""
        now, news = self._clock.tick()
        if news:
            self._memory = self._memory.after_a_break()
        heard = [(self._clock.placed(at), feed, line) for at, feed, line in all_in(self._lines)]
        for at, feed, line in heard:
            self._intake.take(at, feed, line)
        unrecorded = self._no_record
        if self._recorder is not None:
            self._recorder.hear(now, heard)
            news += self._recorder.news(now)
            unrecorded = self._recorder.unrecorded
        readings = self._intake.readings(np.array([now]))
        actions = self._worker.posted()
        around = Circumstances(unrecorded, self._pictures.forecasts.next_limits, self._clock.ahead)
        self._memory, block = advance_guarded(self._basis, self._memory, readings, actions, around)
        news, self._first_events = [*self._first_events, *news], ()
        status = {feed.feed: feed.status for feed in self._feeds}
        feeds = feed_rows(self._basis.stay, self._intake, status)
        if self._recorder is not None:
            self._recorder.keep(block, self._memory, actions, news, feeds)
        self._pictures.log_events(news)
        self._pictures.add(block)
        picture = self._pictures.picture(self._memory, feeds)
        if picture is not None:
            self._worker.deliver(picture)


class WatchClock:
    """Time for cycles: the wall clock, but never backwards, and never before `begins`.

    A clock set forward is followed, with the event `gap`. With one set back, also a `gap`, time goes on
    from where it was, by as much as the wall clock moves: alerts and records must not run backwards.
    """

    LEAP_S: Final = 5.0

    def __init__(self, wall: Callable[[], float], begins: float = -inf) -> None:
        self._wall = wall
        now = wall()
        self._offset = max(0.0, begins - now)
        self._last = now + self._offset

    def now(self) -> float:
        """Return the time of the last cycle."""
        return self._last

    @property
    def ahead(self) -> float:
        """Return seconds by which this clock runs ahead of the wall clock, which was set back."""
        return self._offset

    def tick(self) -> tuple[float, list[Event]]:
        """Return the time of a new cycle, later than the last, and events of a clock that was set."""
        news: list[Event] = []
        now = self._wall() + self._offset
        if now < self._last - self.LEAP_S:
            back = self._last - now
            news.append(Event(self._last, "gap", value=-back, text=f"the clock was set back by {span(back)}"))
            self._offset += back + CYCLE_S
            now = self._last + CYCLE_S
        elif now > self._last + 60.0:
            text = f"the watch slept or the clock was set forward: {span(now - self._last)}"
            news.append(Event(now, "gap", value=now - self._last, text=text))
        self._last = max(now, self._last + 0.001)
        return self._last, news

    def placed(self, wall: float) -> float:
        """Return the time by this clock of a line that came at `wall`, before the present cycle."""
        return min(wall + self._offset, self._last)
