"""A second console on a stay: it looks at what another one keeps, and can do nothing, unless nobody keeps the
watch: then it may keep it itself."""

import os
import sqlite3
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Final

from alongside.actions import Action
from alongside.actions.controls import Control, KeepWatch
from alongside.alerts.model import Event
from alongside.cycle.decide_memory import as_remembered
from alongside.cycle.deck.altered import altered
from alongside.cycle.memory import Memory
from alongside.cycle.picture import Advice, Picture
from alongside.cycle.picture_of import blank_picture
from alongside.errors import AlongsideError
from alongside.forecast.basis import Basis
from alongside.record.entries import Run, unpack_memory
from alongside.record.faultlog import keep_trace
from alongside.record.layout import journal_of
from alongside.record.lock import is_held
from alongside.record.nowfile import Now, read_now
from alongside.record.reader import RecordReader
from alongside.record.refill import restore
from alongside.record.states import unpack
from alongside.runtime.picture_maker import LOG_MOST, LOG_S, PictureMaker
from alongside.runtime.worker import Worker
from alongside.stay.model import Stay
from alongside.stay.stage import Stage

LOOK_S: Final = 1.0
GONE_S: Final = 2.0
"""Without a new instant for so long it is asked whether anybody keeps the record still."""
SOUND_S: Final = 10.0
START_S: Final = 15.0
"""A console that is started while another one ends keeps the watch by itself as soon as that one is gone."""
SAID_S: Final = 10.0
"""So long it is said what became of asking to keep the watch."""
NOBODY: Final = Advice(
    "Nobody keeps the watch: the other console is gone; start the watch anew",
    Stage.ALARM,
    "Nobody keeps the watch: start it anew",
    "NOBODY KEEPS WATCH",
)
PRESS_K: Final = Advice(
    "Nobody keeps the watch: press k to take over at this console",
    Stage.ALARM,
    "Nobody keeps the watch: press k to take over",
    "NOBODY KEEPS WATCH",
)


class LookDesk:
    """Follows the record in `folder`, second by second. `holder` says in words who keeps it.

    Where nothing new comes, no Picture is delivered, and the screen says that its figures are old. When
    whoever kept the record is gone, that is all it has to say, and it sounds. `keep` begins a watch at this
    console in its place, and returns "", or why it cannot; without it this console only ever looks.
    """

    def __init__(self, folder: Path, stay: Stay, holder: str, keep: Callable[[], str] | None = None) -> None:
        self.stay = stay
        self._folder = folder
        self._holder = holder
        self._keep = keep
        self._following: _Following | None = None
        self._last: Now | None = None
        self._waited = 0.0
        self._gone = False
        self._keeping = ""
        self._said_at = 0.0
        self._started_at = time.monotonic()
        self._worker: Worker[str | KeepWatch] = Worker("look", self._step, lambda: LOOK_S)
        """Words for whoever looks, and that it is to keep the watch, are posted to it."""
        self._notes: list[str] = []

    def start(self, deliver: Callable[[Picture], None]) -> None:
        self._worker.post(f"This console only looks: {self._holder}")
        self._worker.start(deliver)

    def act(self, action: Action) -> None:
        self._worker.post(f"Not done: this console only looks ({self._holder})")

    def control(self, control: Control) -> None:
        if isinstance(control, KeepWatch):
            self._worker.post(control)

    def stop(self) -> None:
        self._worker.stop()
        self._forget()

    def _step(self) -> None:
        try:
            self._look()
        except (sqlite3.Error, OSError, AlongsideError):
            self._forget()  # the journal is being replaced or cannot be read: begun anew next time
        except Exception:
            self._forget()  # no Picture comes, and the screen says so
            raise

    def _look(self) -> None:
        posted = self._worker.posted()
        self._notes += [each for each in posted if isinstance(each, str)]
        now = read_now(self._folder)
        new = now is not None and (
            self._last is None or (now.time, now.seq) != (self._last.time, self._last.seq)
        )
        asked = any(isinstance(each, KeepWatch) for each in posted)
        if (asked or self._ended_at_start(new)) and self._keeps():
            return
        if new:
            self._waited, self._gone = 0.0, False
        else:
            self._wait()
        if now is None and self._gone:  # nobody has ever kept it
            self._worker.deliver(self._unkept(replace(blank_picture(self.stay), look_only=True)))
        if now is None or not (new or self._gone or self._notes):
            return
        following = self._followed(now)
        self._last = now
        notes, self._notes = self._notes, []
        picture = replace(
            following.picture(now, notes), can_keep=self._keep is not None, keeping=self._said_lately()
        )
        self._worker.deliver(self._unkept(picture) if self._gone else picture)

    def _unkept(self, picture: Picture) -> Picture:
        sounds = (self._waited - GONE_S) % SOUND_S < LOOK_S
        sound = Stage.ALARM if sounds else Stage.NORMAL
        advice = NOBODY if self._keep is None else PRESS_K
        return replace(picture, unkept=True, advice=advice, sound=sound)

    def _wait(self) -> None:
        self._waited += LOOK_S
        gone = self._waited >= GONE_S and not is_held(self._folder)
        if gone and not self._gone:
            then = "start the watch again" if self._keep is None else "press k"
            self._notes.append(f"The console that kept this record is gone: {then} to go on with it")
        elif self._gone and not gone:
            self._notes.append("Another console takes over the watch")
        self._gone = gone

    def _ended_at_start(self, new: bool) -> bool:
        """Return whether whoever kept the record has gone while this console was being started: it was meant
        to keep the watch."""
        lately = time.monotonic() - self._started_at < START_S
        return self._keep is not None and lately and not new and not is_held(self._folder)

    def _keeps(self) -> bool:
        """Return whether this console keeps the watch from now on; it looks no more then."""
        if self._keep is None:
            return False
        self._forget()
        try:
            why_not = self._keep()
        except Exception as fault:  # guards the looking: what fails to begin must not end it
            why_not = f"it failed, {type(fault).__name__}, trace in {keep_trace()}"
        if not why_not:
            self._worker.finish()
            return True
        self._keeping, self._said_at = f"Not done: {why_not}", time.monotonic()
        self._notes.append(self._keeping)
        return False

    def _said_lately(self) -> str:
        return self._keeping if time.monotonic() - self._said_at < SAID_S else ""

    def _followed(self, now: Now) -> "_Following":
        known = self._following
        if known is None or not known.is_of(now):
            self._forget()
            known = self._following = _Following(self._folder, now)
        return known

    def _forget(self) -> None:
        if self._following is not None:
            self._following.close()
        self._following = None


class _Following:
    """One run of the console that keeps the record, as its journal and its present instant tell of it."""

    def __init__(self, folder: Path, now: Now) -> None:
        self._record = RecordReader(folder)
        self._path = journal_of(folder)
        self._inode = os.stat(self._path).st_ino
        self._started = now.run_started
        self._run = self._run_of(now)
        channels = self._run.columns.channels
        self._basis = Basis.of(self._run.stay, ahead=True)
        self._pictures = PictureMaker(self._basis, channels)
        begin = now.time - LOG_S
        restore(
            self._pictures.past,
            self._basis,
            channels,
            tuple(self._record.states(begin, now.time, dense=False)),
        )
        events = self._record.last_events(LOG_MOST, begin)
        self._seq = events[-1][0] if events else 0
        self._pictures.log_events(event for _, event in events)
        self._packed = b""
        self._memory = Memory.at_start(self._run.stay)

    def is_of(self, now: Now) -> bool:
        """Return True while it is this run, in this journal."""
        return now.run_started == self._started and os.stat(self._path).st_ino == self._inode

    def picture(self, now: Now, notes: list[str]) -> Picture:
        if now.memory != self._packed:
            self._memory, self._packed = unpack_memory(now.memory), now.memory
        for seq, event in self._record.events(after=self._seq):
            self._seq = seq
            self._pictures.log_events([event])
        self._pictures.log_events(Event(now.time, "note", text=text) for text in notes)
        basis = altered(self._basis, self._memory.lengths.deck)
        states = unpack(basis.stay, self._run.columns, [now.time], [now.state])
        self._pictures.use_basis(basis)
        found = self._pictures.forecasts.decisions
        decisions = as_remembered(self._memory.decided, found, basis.stay, now.time)
        self._pictures.add(states.block(basis, self._memory, now.unrecorded, decisions))
        picture = self._pictures.picture(self._memory, now.feeds)
        assert picture is not None, "a block was kept"
        # Who cannot silence a sound is not to have it.
        return replace(picture, look_only=True, sound=Stage.NORMAL)

    def close(self) -> None:
        self._record.close()

    def _run_of(self, now: Now) -> Run:
        runs = [run for run in self._record.runs() if run.started == now.run_started]
        if not runs:
            raise FileNotFoundError(2, "this run is not in the journal", str(self._path))
        return runs[-1]
