"""A second console on a stay: it looks at what another one keeps, and can do nothing."""

import os
import sqlite3
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Final

from alongside.actions import Action, ReplayControl
from alongside.alerts.model import Event
from alongside.cycle.advance import Memory
from alongside.cycle.deck.altered import altered
from alongside.cycle.picture import Advice, Picture
from alongside.errors import AlongsideError
from alongside.forecast.basis import Basis
from alongside.record.entries import Run, unpack_memory
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
NOBODY: Final = Advice(
    "Nobody keeps the watch: the other console is gone; start the watch anew",
    Stage.ALARM,
    "Nobody keeps the watch: start it anew",
)


class LookDesk:
    """Follows the record in `folder`, second by second. `holder` says in words who keeps it.

    Where nothing new comes, no Picture is delivered, and the screen says that its figures are old. When
    whoever kept the record is gone, that is all it has to say, and it sounds.
    """

    def __init__(self, folder: Path, stay: Stay, holder: str) -> None:
        self.stay = stay
        self._folder = folder
        self._holder = holder
        self._following: _Following | None = None
        self._last: Now | None = None
        self._waited = 0.0
        self._gone = False
        self._worker: Worker[str] = Worker("look", self._step, lambda: LOOK_S)
        """Words for whoever looks are posted to it."""
        self._notes: list[str] = []

    def start(self, deliver: Callable[[Picture], None]) -> None:
        self._worker.post(f"This console only looks: {self._holder}")
        self._worker.start(deliver)

    def act(self, action: Action) -> None:
        self._worker.post(f"Not done: this console only looks ({self._holder})")

    def control(self, control: ReplayControl) -> None:
        """Ignored: not a replay."""

    def stop(self) -> None:
        self._worker.stop()
        if self._following is not None:
            self._following.close()
            self._following = None

    def _step(self) -> None:
        try:
            self._look()
        except (sqlite3.Error, OSError, AlongsideError):
            self._forget()  # the journal is being replaced or cannot be read: begun anew next time
        except Exception:
            self._forget()  # no Picture comes, and the screen says so
            raise

    def _look(self) -> None:
        now = read_now(self._folder)
        new = now is not None and (
            self._last is None or (now.time, now.seq) != (self._last.time, self._last.seq)
        )
        if new:
            self._waited, self._gone = 0.0, False
        else:
            self._wait()
        self._notes += self._worker.posted()
        if now is None or not (new or self._gone or self._notes):
            return
        following = self._followed(now)
        self._last = now
        notes, self._notes = self._notes, []
        picture = following.picture(now, notes)
        self._worker.deliver(self._unkept(picture) if self._gone else picture)

    def _unkept(self, picture: Picture) -> Picture:
        sounds = (self._waited - GONE_S) % SOUND_S < LOOK_S
        sound = Stage.ALARM if sounds else Stage.NORMAL
        return replace(picture, unkept=True, advice=NOBODY, sound=sound)

    def _wait(self) -> None:
        self._waited += LOOK_S
        if self._waited >= GONE_S and not self._gone and not is_held(self._folder):
            self._gone = True
            self._notes.append(
                "The console that kept this record is gone: start the watch again to go on with it"
            )

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
        self._basis = Basis.of(self._run.stay)
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
        self._pictures.add(states.block(basis, self._memory, now.unrecorded))
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
