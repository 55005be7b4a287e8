"""What an earlier run left behind: where a watch that is started again goes on."""

import sqlite3
from dataclasses import dataclass, replace
from math import inf
from pathlib import Path
from typing import Final

from alongside.alerts.model import Event
from alongside.cycle.memory import Memory
from alongside.record.chain import Break
from alongside.record.entries import Run, unpack_memory
from alongside.record.faultlog import guarded, keep_trace
from alongside.record.faults import WrongRecord, in_words, is_spoilt
from alongside.record.feedfiles import feed_logs
from alongside.record.layout import NOW, journal_of
from alongside.record.nowfile import read_now
from alongside.record.pieces import Missing
from alongside.record.reader import RecordReader
from alongside.record.states import States

PAST_S: Final = 24 * 3600.0
MOST_EVENTS: Final = 20_000
NEWEST_LINKS: Final = 5_000
"""So many events and actions are tried at a start, in some hundredths of a second; `report` tries all."""
DAMAGE: Final = (sqlite3.Error, OSError, WrongRecord)
_NO_EVENTS: tuple[Event, ...] = ()
_NO_STATES: tuple[States, ...] = ()
NOTHING_MISSING: Final = Missing()
_NO_BREAKS: tuple[Break, ...] = ()


@dataclass(frozen=True, slots=True)
class Earlier:
    """`time` is the last instant of which anything is known; `stopped` whether the watch was ended in order
    then, None where that is not known. `run` is the one that kept `memory`; None where only the second copy
    of the memory was left. `lines` are the ids of the memory's lines."""

    time: float
    memory: Memory
    run: Run | None
    lines: tuple[str, ...]
    stopped: bool | None
    events: tuple[Event, ...]
    """Of the last 24 h before `time`, oldest first."""
    states: tuple[States, ...]
    """The even states of that day."""
    remembered: float = inf
    """When the memory was kept; it may be long before `time` where nothing changed since."""
    unread: tuple[str, ...] = ()
    """Parts that a fault of ours kept from being read: `history (KeyError)`."""

    @property
    def even_until(self) -> float:
        """Return the time of the newest even state."""
        return max((float(states.time[-1]) for states in self.states), default=-inf)


@dataclass(frozen=True, slots=True)
class Inspection:
    """What is in a folder. `spoilt`: its journal is damaged and must be put aside; `fault` what kept it from
    being read, in words; `gone`: other files show that there was a watch, and the journal holds nothing."""

    earlier: Earlier | None
    spoilt: bool = False
    fault: str = ""
    gone: bool = False
    breaks: tuple[Break, ...] = ()
    """Where the newest part of what is on record is not as it was written."""
    tried: bool = True
    """False: the journal is so large that its oldest states were not tried."""
    missing: Missing = NOTHING_MISSING


def find_earlier(folder: Path) -> Inspection:
    """Return what an earlier run left in a folder. From a journal that cannot be read, by its damage or by a
    fault of ours, what is left is the second copy of the memory; this never raises."""
    try:
        with RecordReader(folder) as record:
            tried = record.try_journal()
            earlier = _earlier(folder, record)
            failed: list[str] = []
            breaks = guarded(
                "chain", lambda: record.chain(newest=NEWEST_LINKS).breaks, _NO_BREAKS, failed, DAMAGE
            )
            missing = guarded("pieces", record.missing, NOTHING_MISSING, failed, DAMAGE)
            if failed and earlier is not None:
                earlier = replace(earlier, unread=(*earlier.unread, *failed))
    except FileNotFoundError:
        return Inspection(_from_copy(folder), gone=_was_watched(folder))
    except DAMAGE as error:
        return Inspection(_from_copy(folder), is_spoilt(error), in_words(error))
    except Exception as error:  # guards the watch: a fault of ours in reading must not keep it from starting
        keep_trace()
        fault = f"a fault of ours, {type(error).__name__}, see the fault log"
        return Inspection(_from_copy(folder), fault=fault)
    of_journal = earlier is not None and earlier.run is not None
    return Inspection(
        earlier, gone=not of_journal and _was_watched(folder), breaks=breaks, tried=tried, missing=missing
    )


def _was_watched(folder: Path) -> bool:
    """Return True if a watch has left anything beside a journal: feed logs, a second copy, a journal kept
    aside."""
    if feed_logs(folder) or any(folder.glob(f"{journal_of(folder).stem}-corrupt-*")):
        return True
    return any((folder / name).exists() for name in NOW)


def _earlier(folder: Path, record: RecordReader) -> Earlier | None:
    kept, recorded = record.memory_at(), record.span()
    if kept is None or recorded is None:
        return _from_copy(folder)
    at, memory, run = kept
    last = max(recorded[1], at)
    remembered = at
    copy = _from_copy(folder)
    if copy is not None and copy.time > last and copy.lines == run.columns.lines:
        # Of the last second. Its memory is another than the journal's only if the disk had failed.
        last, memory, remembered = copy.time, copy.memory, copy.time
    failed: list[str] = []
    # Lengths and alerts do not depend on these two.
    begin = last - PAST_S
    events = guarded("history", lambda: _events(record, begin), _NO_EVENTS, failed, DAMAGE)
    states = guarded("charts", lambda: _states(record, begin, last), _NO_STATES, failed, DAMAGE)
    stopped = None if failed and not events else bool(events) and events[-1].event == "stopped"
    return Earlier(last, memory, run, run.columns.lines, stopped, events, states, remembered, tuple(failed))


def _events(record: RecordReader, begin: float) -> tuple[Event, ...]:
    return tuple(event for _, event in record.last_events(MOST_EVENTS, begin))


def _states(record: RecordReader, begin: float, end: float) -> tuple[States, ...]:
    return tuple(record.states(begin, end, dense=False))


def _from_copy(folder: Path) -> Earlier | None:
    try:
        now = read_now(folder)
        if now is None:
            return None
        memory = unpack_memory(now.memory)
    except WrongRecord:
        return None
    except Exception:  # guards the watch: it begins without what a damaged copy holds
        keep_trace()
        return None
    return Earlier(now.time, memory, None, now.lines, None, (), (), now.time)
