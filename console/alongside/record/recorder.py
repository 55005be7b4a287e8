"""Writing a record: everything a watch puts on record goes through here, before it is shown.

Whatever happens to the disk, `keep` returns and the watch goes on: what could not be written waits in memory
and is written when the disk is back; `unrecorded` says what is missing, `news` what happened to the record.
"""

import sqlite3
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from math import inf
from pathlib import Path
from typing import Final

from alongside.actions import Action
from alongside.alerts.model import Event
from alongside.cycle.block import Block
from alongside.cycle.memory import Memory
from alongside.cycle.picture import FeedRow, RecordTried
from alongside.errors import AlongsideError
from alongside.record.access import OWNER_ONLY, Access
from alongside.record.aside import set_aside
from alongside.record.entries import Entry, Run, pack_memory, same
from alongside.record.faultlog import keep_trace
from alongside.record.faults import NewerRecord, RecordInUse, WrongRecord, in_words, is_spoilt
from alongside.record.feedfiles import FeedFiles, Lines
from alongside.record.journal import Journal
from alongside.record.layout import journal_of
from alongside.record.lock import Lock
from alongside.record.need import need_of
from alongside.record.nowfile import NowFiles
from alongside.record.pace import Pace
from alongside.record.states import Columns, pack
from alongside.record.thinning import Thinning
from alongside.record.tried import tried
from alongside.record.waiting import WaitingEntries, WaitingLines
from alongside.record.words import FEEDS, JOURNAL, aside_text, lost_text
from alongside.stay.model import Stay

SECOND: Final = "second console"

RETRY_S: Final = 10.0
LOUD_S: Final = 120.0
"""A problem that was reported counts as a fault for so long: it becomes an alert that must be
acknowledged."""


class Recorder:
    """Keeps the record in `folder` for one run. Not for several threads at once.

    `lock` is the lock on the folder where it is held already. `even_until` is the time of the newest even
    state that is on record. `access` says for whom the files are. Raises RecordInUse where another process
    keeps the record, NewerRecord where a newer program wrote it; any other fault of the disk stands in
    `unrecorded` and is tried again every ten seconds.
    """

    def __init__(
        self,
        folder: Path,
        run: Run,
        lock: Lock | None = None,
        even_until: float = -inf,
        access: Access = OWNER_ONLY,
    ) -> None:
        self.folder = folder
        self._access = access
        self._run = self._written = run
        self._lock = lock
        self._journal: Journal | None = None
        self._feeds: FeedFiles | None = None
        self._now: NowFiles | None = None
        self._thinning = Thinning(even_until)
        self._waiting = WaitingEntries()
        self._lines = WaitingLines()
        self._pace = Pace(need_of(run.stay), folder)
        self._memory: Memory | None = None
        self._packed = b""
        self._log = ""
        """The feed log that the journal knows of."""
        self._faults: dict[str, str] = {}
        self._tried: dict[str, float] = {}
        self._loud: list[str] = []
        self._loud_until = -inf
        self._time = run.started
        self._news: list[str] = []
        self._starting = True
        self._try("journal", self._open_journal)
        self._starting = False

    @property
    def unrecorded(self) -> str:
        """Return what is not being kept and why, in words; "" where all is."""
        parts = [f"{part} ({fault})" for part, fault in self._faults.items()]
        given_up = (
            (self._waiting.lost_events, "events"),
            (self._waiting.lost_states, "states"),
            (self._lines.lost, "sentences"),
        )
        lost = [f"{count} {what} given up" for count, what in given_up if count]
        if JOURNAL in self._faults and not lost:
            lost = ["what happens waits in memory"]
        loud = self._loud if self._time < self._loud_until else []
        return "; ".join([*([", ".join(parts)] if parts else []), *loud, *(lost if parts else [])])

    @property
    def is_all_kept(self) -> bool:
        """Return True where all that `keep` was given is in the journal, on the disk."""
        return not self._waiting

    @property
    def filling(self) -> str:
        """Return which feed fills the disk faster than foreseen, in words; "" where none does."""
        return self._pace.text

    def news(self, now: float) -> list[Event]:
        """Return the news of the record since the last call, as notes of this instant."""
        texts, self._news = self._news, []
        return [Event(now, "note", text=text) for text in texts]

    def say(self, text: str) -> None:
        """Report a problem: event now, alert for two minutes."""
        if self._time >= self._loud_until:
            self._loud = []
        self._loud, self._loud_until = [*self._loud, text], self._time + LOUD_S
        self._news.append(text)

    def hear(self, now: float, lines: Lines) -> None:
        """Keep the lines that the feeds sent in a cycle."""
        self._time = now
        self._lines.add(list(lines))
        self._pace.add(now, lines)
        self._try(FEEDS, self._write_lines)

    def keep(
        self,
        block: Block,
        memory: Memory,
        actions: Sequence[Action] = (),
        news: Sequence[Event] = (),
        feeds: Sequence[FeedRow] = (),
        stay: Stay | None = None,
    ) -> None:
        """Keep a block of cycles: its events and the other `news`, what the watch
        did, and the memory after it; `stay` how lines lead now, None as before. What the disk takes is on it
        when this returns."""
        self._time = float(block.readings.time[-1])
        altered = stay is not None and stay is not self._run.stay and stay != self._run.stay
        if stay is not None and altered:
            # What was done on deck is worth the states before it, and they have the columns of before.
            if before := self._thinning.before():
                self._waiting.add(Entry(before[-1].time, states=before))
            channels = self._run.columns.channels
            self._run = replace(self._run, started=self._time, stay=stay, columns=Columns.of(stay, channels))
            self._drop(SECOND)
        entry = self._entry(block, memory, actions, news)
        if altered:
            entry = replace(entry, run=self._run, memory=self._packed)
        if entry:
            self._waiting.add(entry)
        self._try(JOURNAL, self._write_journal)
        self._try(SECOND, lambda: self._write_now(block, feeds))

    def try_out(self, number: int, now: float) -> RecordTried:
        """Write a row, read it back, and return what came of it, the `number`-th time."""

        def write(event: Event) -> str:
            self._time = event.time
            self._waiting.add(Entry(event.time, (event,)))
            self._tried.pop(JOURNAL, None)
            self._try(JOURNAL, self._write_journal)
            return "" if self.is_all_kept else self.unrecorded

        return tried(self.folder, number, now, write)

    def end(self, event: Event) -> str:
        """Put the last event on record and close; return what is lost now because the disk took nothing to
        the last, how much and since when, in words, "" where nothing is."""
        self._time = event.time
        self._waiting.add(Entry(event.time, (event,)))
        self._tried.clear()
        self._try(JOURNAL, self._write_journal)
        self._try(FEEDS, self._write_lines)
        lost = lost_text(self._faults, self._waiting, self._lines, event.time, self._run.stay.display)
        self.close()
        return lost

    def close(self) -> None:
        """Close all files and let go of the lock."""
        self._drop(FEEDS)
        self._drop(JOURNAL)
        self._drop(SECOND)
        if self._lock is not None:
            self._lock.release()
            self._lock = None

    # One cycle

    def _entry(self, block: Block, memory: Memory, actions: Sequence[Action], news: Sequence[Event]) -> Entry:
        changes = [event.time for event in block.events if event.alert is not None]
        lines = self._run.columns.lines
        states = self._thinning.chosen(block.readings.time, changes, lambda row: pack(block, row, lines))
        changed = self._memory is None or not same(memory, self._memory)
        if changed:
            self._memory, self._packed = memory, pack_memory(memory)
        packed = self._packed if changed else None
        log = "" if self._feeds is None or self._feeds.name == self._log else self._feeds.name
        self._log = log or self._log
        return Entry(self._time, (*news, *block.events), tuple(actions), tuple(states), packed, log)

    def _write_lines(self) -> None:
        if self._feeds is None:
            self._open_folder()
            self._feeds = FeedFiles(self.folder, access=self._access)
        self._feeds.write(self._time, self._lines.all())
        self._lines.clear()
        self._feeds.tidy()

    def _write_journal(self) -> None:
        if not self._waiting:
            return
        if self._journal is not None and not self._journal.is_in_place():
            for part in (JOURNAL, FEEDS, SECOND):
                self._drop(part)
            self.say("The journal was taken away; a new one is begun")
        if self._journal is None:
            self._open_journal()
        assert self._journal is not None, "opened above"
        self._journal.write(self._waiting.all())
        self._written = self._run
        self._waiting.clear()

    def _write_now(self, block: Block, feeds: Sequence[FeedRow]) -> None:
        if self._now is None:
            self._open_folder()
            self._now = NowFiles(self.folder, self._run, self._access)
        row = len(block.readings) - 1
        state = pack(block, row, self._run.columns.lines)
        self._now.write(self._time, self.unrecorded, feeds, state, self._packed)

    # Opening, and what becomes of faults

    def _open_folder(self) -> None:
        if self._lock is not None and not self._lock.is_in_place():
            self._lock.release()
            self._lock = None
        if self._lock is None:
            self._access.make_folder(self.folder)
            self._lock = Lock(self.folder, self._access)

    def _open_journal(self) -> None:
        """Open the journal, or begin a new one, which then starts with the memory as it is now."""
        self._open_folder()
        self._journal = Journal(journal_of(self.folder), self._access)
        self._journal.begin(self._written)
        if self._packed:
            self._waiting.add(Entry(self._time, memory=self._packed))

    def _try(self, part: str, act: Callable[[], None]) -> None:
        """Do something to one part of the record, unless it failed a moment ago."""
        if self._time - self._tried.get(part, -inf) < RETRY_S:
            return
        try:
            self._mended(act)
        except (sqlite3.Error, OSError, AlongsideError) as error:
            if self._starting and isinstance(error, RecordInUse | NewerRecord):
                raise
            self._fail(part, in_words(error))
        except Exception as error:  # guards the watch: a fault of ours in the record must not end it
            keep_trace()
            self._fail(part, f"a fault of ours, {type(error).__name__}")
        else:
            self._tried.pop(part, None)
            if self._faults.pop(part, None) is not None:
                self._news.append(f"On record again: {part}")

    def _mended(self, act: Callable[[], None]) -> None:
        """Run `act`; if the journal is corrupt, replace it and retry once."""
        try:
            act()
        except (sqlite3.Error, WrongRecord) as error:
            if not is_spoilt(error):
                raise
            self._drop(JOURNAL)
            self.say(aside_text(set_aside(self.folder, self._time)))
            act()

    def _fail(self, part: str, fault: str) -> None:
        self._tried[part] = self._time
        if part not in self._faults:
            self._news.append(f"NOT ON RECORD: {part} ({fault}); tried again every {RETRY_S:.0f} s")
        self._faults[part] = fault
        self._drop(part)

    def _drop(self, part: str) -> None:
        """Close one part; ignore a fault in closing: it has failed already, or is at its end."""
        with suppress(sqlite3.Error, OSError):
            if part == JOURNAL and self._journal is not None:
                closing, self._journal = self._journal, None
                closing.close()
            elif part == FEEDS and self._feeds is not None:
                closed, self._feeds = self._feeds, None
                closed.close()
            elif part == SECOND and self._now is not None:
                ended, self._now = self._now, None
                ended.close()
