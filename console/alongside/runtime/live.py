"""The live watch at a desk: feeds into the intake, a cycle each second, a Picture after each.

Threads that read ports put lines into their inboxes and do nothing else; all state is the worker's alone.
"""

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from math import inf
from pathlib import Path
from typing import Final

import numpy as np

from alongside.actions import Action
from alongside.actions.controls import Control, TryRecord
from alongside.alerts.model import Event
from alongside.cycle.advance import advance_guarded
from alongside.cycle.block import Circumstances
from alongside.cycle.deck.altered import altered
from alongside.cycle.picture import DeskActs, Picture, RecordTried
from alongside.errors import WrongInput
from alongside.feeds.inbox import FeedLine
from alongside.feeds.intake import Intake
from alongside.feeds.logwriter import to_millisecond
from alongside.forecast.basis import Basis
from alongside.record.access import OWNER_ONLY, Access
from alongside.record.faultlog import guarded
from alongside.record.refill import restore, warm
from alongside.record.resume import begin_afresh, begin_on_record
from alongside.record.second_terminal import SecondTerminal
from alongside.record.words import in_part_text
from alongside.runtime.alerts_sender import AlertsOutDesk
from alongside.runtime.drops import Drops
from alongside.runtime.feed_thread import FeedThread, lines_of, stop_all
from alongside.runtime.picture_maker import PictureMaker, feed_rows
from alongside.runtime.second_caller import SecondCaller
from alongside.runtime.watch_clock import WatchClock, steady_seconds
from alongside.runtime.worker import Beat, Worker
from alongside.stay.model import Stay
from alongside.units import is_time

CYCLE_S: Final = 1.0


class LiveDesk:
    """Watches the feeds of a stay; `record` is the folder of its record, with which it goes on, None for
    none; `access` says for whom that is; `call` is the command of the second caller, () for none;
    `first_notes` are put on record at the beginning.

    A port that is missing or busy does not keep the watch from starting: the reader tries on, and the
    Picture says so. `wall` gives UNIX seconds, `steady` seconds of a clock that nobody sets. Raises
    RecordInUse where another console keeps the record, WrongInput where the record is of another stay, or
    where the wall clock was never set.
    """

    def __init__(
        self,
        stay: Stay,
        record: Path | None = None,
        wall: Callable[[], float] = time.time,
        steady: Callable[[], float] = steady_seconds,
        access: Access = OWNER_ONLY,
        call: Sequence[str] = (),
        first_notes: Sequence[str] = (),
    ) -> None:
        self._basis = Basis.of(stay, ahead=True)
        self._intake = Intake(stay)
        self._pictures = PictureMaker(self._basis, self._intake.channels)
        self.lost = ""
        """Once stopped: what could not be put on record to the last, in words."""
        self._to_try = 0
        """How often the record was to be tried so far."""
        self._tried: RecordTried | None = None
        self._acts = DeskActs(kept=None if record is None else 0)
        begins = self._begin(stay, record, _set_clock(wall()), access, first_notes)
        self._caller = SecondCaller(call) if call else None
        self._clock = WatchClock(stay.display, wall, steady, begins)
        self._feeds = [FeedThread(feed, Path(stay.file)) for feed in stay.feeds]
        out, counts = stay.alerts_out, self._memory.sent
        self._bridge = None if out is None else AlertsOutDesk(out, stay, counts)
        self._drops = Drops()
        self._second = None if record is None else SecondTerminal(record)
        self._worker: Worker[Action] = Worker("watch", self.cycle, Beat(CYCLE_S))

    def _begin(
        self, stay: Stay, folder: Path | None, now: float, access: Access, first_notes: Sequence[str]
    ) -> float:
        """Begin, or go on from the record: with its memory, history, means of the gauges and charts. Return
        the time to begin at, UNIX seconds."""
        begun = begin_afresh(stay, now)
        if folder is not None:
            begun = begin_on_record(folder, stay, self._intake.channels, now, access)
        self._memory, self._recorder, self._no_record = begun.memory, begun.recorder, begun.fault
        self._pictures.use_basis(altered(self._basis, self._memory.lengths.deck))
        self._pictures.log_events(begun.log)
        failed: list[str] = []
        intake, past, channels = self._intake, self._pictures.past, self._intake.channels
        if folder is not None and begun.heard_until > -inf:
            intake.go_on(begun.memory.feeds, begun.heard_until, begun.time)
            guarded(
                "means of the gauges",
                lambda: warm(intake, folder, begun.heard_until, begun.time),
                None,
                failed,
            )
            if failed:
                intake.restart()
                intake.go_on(begun.memory.feeds, begun.heard_until, begun.time)
        learning = self._pictures.learning
        guarded("what cells measured", lambda: learning.restore(begun.states), None, failed)
        guarded("charts", lambda: restore(past, self._pictures.basis, channels, begun.states), None, failed)
        if failed and self._recorder is not None:
            self._recorder.say(in_part_text(failed))
        notes = (Event(begun.time, "note", text=text) for text in first_notes)
        self._first_events = (*begun.news, *notes)
        return begun.time

    def deliver_to(self, deliver: Callable[[Picture], None]) -> None:
        """Set who gets the Pictures, of a watch that is not started but cycled by hand."""
        self._worker.deliver = deliver

    def start(self, deliver: Callable[[Picture], None]) -> None:
        for feed in self._feeds:
            feed.start()
        if self._bridge is not None:
            self._bridge.start()
        self._worker.start(deliver)

    def act(self, action: Action) -> None:
        self._worker.post(action)

    def control(self, control: Control) -> None:
        """Try the record; anything else is ignored: it plays no log, and keeps the watch already."""
        if isinstance(control, TryRecord):
            self._to_try += 1
            self._worker.wake()

    def stop(self) -> None:
        stop_all(self._feeds)
        self._worker.stop()
        if self._bridge is not None:
            self._bridge.stop()
        cut = "" if self._caller is None else self._caller.stop()
        recorder, self._recorder = self._recorder, None
        if recorder is not None:
            text = "; ".join(part for part in ("the watch was ended", cut) if part)
            self.lost = recorder.end(Event(self._clock.tick()[0], "stopped", text=text))

    def hear(self, at: float, feed: str, line: bytes, sender: str = "") -> None:
        """Take a line of a feed that came at a time of the wall clock; from any thread."""
        inbox = next(each.inbox for each in self._feeds if each.feed == feed)
        inbox.put([FeedLine(at, feed, line, sender)])

    def cycle(self) -> None:
        """Do one cycle: lines and actions in, alerts, record, then the Picture. A watch that was started does
        this each second by itself."""
        now, news = self._clock.tick()
        placed = self._clock.placed
        heard = [line._replace(time=to_millisecond(placed(line.time))) for line in lines_of(self._feeds)]
        for at, feed, line, sender in heard:
            self._intake.take(at, feed, line, sender)
        unrecorded, filling = self._no_record, ""
        if self._recorder is not None:
            self._recorder.hear(now, heard)
            news += self._recorder.news(now)
            unrecorded, filling = self._recorder.unrecorded, self._recorder.filling
        readings = self._intake.readings(np.array([now]))
        posted = self._worker.posted()
        notes = [] if self._second is None else self._second.hear(now)
        actions = [*posted, *notes]
        if self._bridge is not None:
            asked, refused = self._bridge.hear(self._memory.watchlist, now)
            actions, news = [*actions, *asked], [*news, *refused]
        closed = tuple(feed.feed for feed in self._feeds if feed.status.is_shut)
        next_limits = self._pictures.forecasts.next_limits
        call_fault = "" if self._caller is None else self._caller.fault
        bridge_fault = "" if self._bridge is None else self._bridge.fault
        around = Circumstances(
            unrecorded,
            next_limits,
            self._pictures.forecasts.decisions,
            self._clock.ahead,
            closed,
            filling,
            call_fault,
            bridge_fault,
        )
        self._memory, block = advance_guarded(self._basis, self._memory, readings, actions, around)
        news, self._first_events = [*self._first_events, *news], ()
        if self._caller is not None:
            news += self._caller.cycle(now, self._memory.watchlist)
        if self._bridge is not None:
            self._bridge.say(self._memory.watchlist, now)
            self._memory = replace(self._memory, sent=self._bridge.counts)
        basis = altered(self._basis, self._memory.lengths.deck)
        status = {feed.feed: feed.status for feed in self._feeds}
        news += self._drops.news(now, status)
        feeds = feed_rows(self._basis.stay, self._intake, status)
        if self._recorder is not None:
            self._recorder.keep(block, self._memory, actions, news, feeds, basis.stay)
            if self._second is not None and self._recorder.is_all_kept:
                self._second.done()
        self._pictures.log_events(news)
        self._pictures.use_basis(basis)
        self._pictures.add(block, self._memory.lengths.brakes.asked)
        self._count(len(posted))
        picture = self._pictures.picture(self._memory, feeds)
        if picture is not None:
            alerts_out = None if self._bridge is None else self._bridge.port
            tried = self._tried_by(now)
            self._worker.deliver(replace(picture, acts=self._acts, record_tried=tried, alerts_out=alerts_out))

    def _tried_by(self, now: float) -> RecordTried | None:
        """Return what came of trying the record last; tries it first where that is asked."""
        number = self._to_try
        if number and (self._tried is None or self._tried.number < number):
            self._tried = RecordTried(number, fault="no record is kept")
            if self._recorder is not None:
                self._tried = self._recorder.try_out(number, now)
        return self._tried

    def _count(self, acts: int) -> None:
        """Count the acts of a cycle that was kept, as far as the disk took it."""
        taken, kept, why_not = self._acts.taken + acts, self._acts.kept, self._no_record
        if self._recorder is not None:
            kept = taken if self._recorder.is_all_kept else kept
            why_not = self._recorder.unrecorded
        self._acts = DeskActs(taken, kept, why_not if kept is not None and kept < taken else "")


def _set_clock(now: float) -> float:
    """Return the time that a wall clock gives. Raise WrongInput where it was never set: a record of such a
    time could not be read again, and tide and plan are of another."""
    if not is_time(now):
        raise WrongInput(
            f"the clock of this machine was never set: it is {now:.0f} s after 1970, expected a time of "
            "1990 to 2099; set it, and start again"
        )
    return now
