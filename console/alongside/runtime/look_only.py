"""A second console on a stay: it looks at what another one keeps, and can do nothing."""

import os
import sqlite3
import threading
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from queue import SimpleQueue
from typing import Final

from alongside.actions import Action, ReplayControl
from alongside.alerts.model import Event
from alongside.cycle.advance import Memory, Plan
from alongside.cycle.picture import Advice, Picture
from alongside.errors import AlongsideError
from alongside.record.entries import Run, unpack_memory
from alongside.record.faultlog import keep_trace
from alongside.record.layout import journal_of
from alongside.record.lock import is_held
from alongside.record.nowfile import Now, read_now
from alongside.record.reader import RecordReader
from alongside.record.resume import restore
from alongside.record.states import unpack
from alongside.runtime.keeper import LOG_MOST, LOG_S, Keeper
from alongside.runtime.live import all_in
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
        self._notes: SimpleQueue[str] = SimpleQueue()
        self._wake = threading.Event()
        self._stopping = threading.Event()
        self._thread = threading.Thread(target=self._run, name="look", daemon=True)
        self._deliver: Callable[[Picture], None] = lambda _picture: None

    def start(self, deliver: Callable[[Picture], None]) -> None:
        self._deliver = deliver
        self._thread.start()

    def act(self, action: Action) -> None:
        self._notes.put(f"Not done: this console only looks ({self._holder})")
        self._wake.set()

    def control(self, control: ReplayControl) -> None:
        """What is looked at keeps its own time."""

    def stop(self) -> None:
        self._stopping.set()
        self._wake.set()
        if self._thread.is_alive():
            self._thread.join()
        if self._following is not None:
            self._following.close()
            self._following = None

    def _run(self) -> None:
        self._notes.put(f"This console only looks: {self._holder}")
        while not self._stopping.is_set():
            try:
                self._look()
            except (sqlite3.Error, OSError, AlongsideError):
                self._forget()  # the journal is being replaced or cannot be read: begun anew next time
            except Exception:  # guards the thread: no Picture comes, and the screen says so
                keep_trace()
                self._forget()
            self._wake.wait(LOOK_S)
            self._wake.clear()

    def _look(self) -> None:
        now = read_now(self._folder)
        new = now is not None and (
            self._last is None or (now.time, now.seq) != (self._last.time, self._last.seq)
        )
        if new:
            self._waited, self._gone = 0.0, False
        else:
            self._wait()
        if now is None or not (new or self._gone or not self._notes.empty()):
            return
        following = self._followed(now)
        self._last = now
        picture = following.picture(now, all_in(self._notes))
        self._deliver(self._unkept(picture) if self._gone else picture)

    def _unkept(self, picture: Picture) -> Picture:
        sounds = (self._waited - GONE_S) % SOUND_S < LOOK_S
        sound = Stage.ALARM if sounds else Stage.NORMAL
        return replace(picture, unkept=True, advice=NOBODY, sound=sound)

    def _wait(self) -> None:
        self._waited += LOOK_S
        if self._waited >= GONE_S and not self._gone and not is_held(self._folder):
            self._gone = True
            self._notes.put(
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
        self._plan = Plan.of(self._run.stay)
        self._keeper = Keeper(self._plan, channels)
        begin = now.time - LOG_S
        restore(
            self._keeper.past, self._plan, channels, tuple(self._record.states(begin, now.time, dense=False))
        )
        told = self._record.last_events(LOG_MOST, begin)
        self._seq = told[-1][0] if told else 0
        self._keeper.tell(event for _, event in told)
        self._packed = b""
        self._memory = Memory.at_start(self._run.stay)

    def is_of(self, now: Now) -> bool:
        """Whether it is still this run, in this journal."""
        return now.run_started == self._started and os.stat(self._path).st_ino == self._inode

    def picture(self, now: Now, notes: list[str]) -> Picture:
        if now.memory != self._packed:
            self._memory, self._packed = unpack_memory(now.memory), now.memory
        for seq, event in self._record.events(after=self._seq):
            self._seq = seq
            self._keeper.tell([event])
        self._keeper.tell(Event(now.time, "note", text=text) for text in notes)
        states = unpack(self._run.stay, self._run.columns, [now.time], [now.state])
        self._keeper.keep(states.block(self._plan, self._memory.lengths.fast, now.unrecorded))
        picture = self._keeper.picture(self._memory, now.feeds)
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
