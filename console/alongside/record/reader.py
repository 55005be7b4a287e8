"""Reading a record: what was known and done at any time, while it is being written or years after."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from math import inf, nan
from pathlib import Path
from types import TracebackType
from typing import Any, Final, get_args

from alongside.actions import Accept, Acknowledge, Action
from alongside.alerts.model import EVENT_WORDS, Event, EventWord
from alongside.cycle.memory import Memory
from alongside.record.chain import Chain, read_chain
from alongside.record.codec import from_text
from alongside.record.entries import Run, unpack_memory
from alongside.record.faults import WrongRecord
from alongside.record.feedfiles import feed_logs
from alongside.record.layout import journal_of
from alongside.record.pieces import Missing, missing_from
from alongside.record.schema import open_to_read
from alongside.record.soundness import try_journal
from alongside.record.states import Columns, States, unpack
from alongside.stay.causes import CAUSES, Cause, known_cause
from alongside.stay.model import Stay
from alongside.stay.stage import Stage

PIECE: Final = 4096
"""States read at once."""

_ACTIONS: Final[dict[str, Callable[[str], Action]]] = {
    **{kind.__name__: partial(from_text, kind) for kind in get_args(Action)},
    "Acknowledge": lambda text: _acknowledged(from_text(Acknowledge, text)),
    "Accept": lambda text: _accepted(from_text(Accept, text)),
}
_STAGES: Final = {stage.word: stage for stage in Stage}
_EVENTS: Final = "SELECT seq, time, event, alert, subject, stage, line, value, threshold, text FROM events"


@dataclass(frozen=True, slots=True)
class Done:
    """An action of the watch and its time."""

    time: float
    action: Action


class RecordReader:
    """Reads the record in a folder; any number may, beside the one that writes.

    Times are UNIX seconds; `begin` and `end` are both included. Everything comes in order of writing, which
    is order of time but for states kept late. Raises FileNotFoundError where there is no journal,
    WrongRecord or sqlite3.Error where it is not whole.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._file = open_to_read(journal_of(folder))

    def runs(self) -> tuple[Run, ...]:
        """Return every run, oldest first: one begins with a console, or where lines become others."""
        numbers = self._file.execute("SELECT run FROM runs ORDER BY run").fetchall()
        return tuple(self._run(number) for (number,) in numbers)

    def events(self, begin: float = -inf, end: float = inf, after: int = 0) -> Iterator[tuple[int, Event]]:
        """Yield events with their number in the record; those numbered above `after` only."""
        where = "WHERE time BETWEEN ? AND ? AND seq > ? ORDER BY seq"
        for seq, *event in self._file.execute(f"{_EVENTS} {where}", (begin, end, after)):
            yield seq, event_of(event)

    def last_events(self, most: int, begin: float = -inf) -> list[tuple[int, Event]]:
        """Return the newest events from `begin` on, oldest first."""
        where = "WHERE time >= ? ORDER BY seq DESC LIMIT ?"
        rows = self._file.execute(f"{_EVENTS} {where}", (begin, most)).fetchall()
        return [(seq, event_of(event)) for seq, *event in reversed(rows)]

    def actions(self, begin: float = -inf, end: float = inf) -> Iterator[Done]:
        """Yield what the watch did."""
        asked = "SELECT time, kind, action FROM actions WHERE time BETWEEN ? AND ? ORDER BY seq"
        for time, kind, action in self._file.execute(asked, (begin, end)):
            if kind not in _ACTIONS:
                raise WrongRecord(f"action {kind!r}, expected one of {', '.join(_ACTIONS)}")
            yield Done(time, _ACTIONS[kind](action))

    def states(self, begin: float = -inf, end: float = inf, dense: bool = True) -> Iterator[States]:
        """Yield states in order of time, in pieces of one run and some thousands at most. Without the `dense`
        ones they lie evenly, as the charts have them."""
        chosen = "" if dense else "AND NOT dense"
        asked = f"SELECT run, time, state FROM states WHERE time BETWEEN ? AND ? {chosen} ORDER BY time, seq"
        rows = self._file.execute(asked, (begin, end))
        piece: list[tuple[int, float, bytes]] = []
        for row in rows:
            if piece and (row[0] != piece[0][0] or len(piece) >= PIECE):
                yield self._unpacked(piece)
                piece = []
            piece.append(row)
        if piece:
            yield self._unpacked(piece)

    def state_at(self, time: float) -> States | None:
        """Return the newest state at or before a time; None before the first."""
        asked = "SELECT run, time, state FROM states WHERE time <= ? ORDER BY time DESC, seq DESC LIMIT 1"
        row = self._file.execute(asked, (time,)).fetchone()
        return None if row is None else self._unpacked([row])

    def memory_at(self, time: float = inf) -> tuple[float, Memory, Run] | None:
        """Return the newest memory kept at or before a time (they lie up to some minutes apart), when it was
        kept and in which run; None before the first. From it on the feed logs can be played."""
        asked = "SELECT time, memory, run FROM memories WHERE time <= ? ORDER BY time DESC, seq DESC LIMIT 1"
        row = self._file.execute(asked, (time,)).fetchone()
        return None if row is None else (row[0], unpack_memory(row[1]), self._run(row[2]))

    def span(self) -> tuple[float, float] | None:
        """Return when the record begins and ends; None while nothing is in it."""
        begins = self._file.execute("SELECT min(started) FROM runs").fetchone()[0]
        ends = [self._file.execute(f"SELECT max(time) FROM {t}").fetchone()[0] for t in ("events", "states")]
        known = [end for end in ends if end is not None]
        return None if begins is None or not known else (begins, max(known))

    def chain(self, until: float = inf, newest: int | None = None) -> Chain:
        """Return whether events and actions are as they were put on record, up to the last at or before a
        time; of the `newest` only, where that is given."""
        return read_chain(self._file, until, newest)

    def feed_logs(self, begin: float = -inf, end: float = inf) -> tuple[Path, ...]:
        """Return the feed logs that hold sentences between two times, in order."""
        return feed_logs(self.folder, begin, end)

    def missing(self) -> Missing:
        """Return what is not there of the files that belong to the record."""
        span = self.span()
        return missing_from(self._file, self.folder, nan if span is None else span[1])

    def try_journal(self) -> bool:
        """Raise WrongRecord or sqlite3.Error for a journal that is damaged. Return False where the time for
        it was over before all had been read."""
        return try_journal(self._file)

    def close(self) -> None:
        self._file.close()

    def __enter__(self) -> "RecordReader":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def _unpacked(self, rows: Sequence[tuple[int, float, bytes]]) -> States:
        run = self._run(rows[0][0])
        return unpack(run.stay, run.columns, [row[1] for row in rows], [row[2] for row in rows])

    def _run(self, number: int) -> Run:
        asked = "SELECT started, program, stay, stay_text, columns FROM runs WHERE run = ?"
        row = self._file.execute(asked, (number,)).fetchone()
        if row is None:
            raise WrongRecord(f"{self.folder}: run {number} is missing")
        started, program, stay, stay_text, columns = row
        return Run(started, program, stay_of(stay), stay_text, columns_of(columns))


def _accepted(action: Accept) -> Accept:
    """Return the same with the present name of its cause."""
    return replace(action, cause=_cause(action.cause) or "")


def _acknowledged(action: Acknowledge) -> Acknowledge:
    """Return the same with the present name of its cause."""
    return replace(action, cause=_cause(action.cause) or "")


@lru_cache(maxsize=8)
def stay_of(text: str) -> Stay:
    """Return a stay as a run put it on record. Raises WrongRecord."""
    return from_text(Stay, text)


@lru_cache(maxsize=8)
def columns_of(text: str) -> Columns:
    """Return the columns of the states of a run. Raises WrongRecord."""
    return from_text(Columns, text)


def event_of(row: Sequence[Any]) -> Event:
    """Return an event of its columns from `time` on. Raises WrongRecord where it is none."""
    time, event, alert, subject, stage, line, value, limit, text = row
    if stage is not None and stage not in _STAGES:
        raise WrongRecord(f"stage {stage!r}, expected one of {', '.join(_STAGES)}")
    known = None if stage is None else _STAGES[stage]
    return Event(time, _event_word(event), _cause(alert), subject, known, line, value, limit, text)


def _event_word(word: str) -> EventWord:
    known = next((each for each in EVENT_WORDS if each == word), None)
    if known is None:
        raise WrongRecord(f"event {word!r}, expected one of {', '.join(EVENT_WORDS)}")
    return known


def _cause(name: str | None) -> Cause | None:
    cause = None if name is None else known_cause(name)
    if cause is None and name is not None:
        raise WrongRecord(f"cause {name!r}, expected one of {', '.join(CAUSES)}")
    return cause
