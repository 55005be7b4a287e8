"""Where an exercise is cut from: a record, alone or with its log, or a stay file with its log."""

import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf
from pathlib import Path

from alongside.actions import Action
from alongside.cycle.memory import Memory
from alongside.errors import WrongInput
from alongside.record.layout import journal_of
from alongside.record.reader import RecordReader
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from alongside.units import iso_time


@dataclass(frozen=True, slots=True)
class Source:
    """`stay` as it stood, `text` of its file, which lies at `file`; `logs` in order of time. Of a record
    `memory` is what was remembered at `since`, and `actions` what was entered from then on."""

    stay: Stay
    text: str
    file: Path
    logs: tuple[Path, ...]
    since: float = -inf
    memory: Memory | None = None
    actions: tuple[tuple[float, Action], ...] = ()

    def acted(self, after: float, upto: float) -> Iterator[tuple[float, list[Action]]]:
        """Yield what was entered between two times, by time."""
        times = sorted({time for time, _ in self.actions if after < time <= upto})
        for at in times:
            yield at, [action for time, action in self.actions if time == at]


def source_of(given: Sequence[Path], begin: float, end: float) -> Source:
    """Return where to cut from, for a time from `begin` to `end`, UNIX s. Raises WrongInput for what is none,
    or does not reach there."""
    place, logs = given[0], tuple(given[1:])
    if len(logs) > 1:
        raise WrongInput(f"{logs[1]}: one log is enough, expected RECORD, RECORD LOG or STAY LOG")
    if place.is_dir():
        return _of_record(place, logs, begin, end)
    if not logs:
        raise WrongInput(f"{place}: a stay file without a log, expected STAY LOG, or the folder of a record")
    stay = read_stay(place)
    return Source(stay, place.read_text(encoding="utf-8-sig"), place, logs)


def _of_record(folder: Path, logs: tuple[Path, ...], begin: float, end: float) -> Source:
    if not journal_of(folder).exists():
        raise WrongInput(f"{folder}: no record, expected a folder with one")
    try:
        with RecordReader(folder) as record:
            known = record.memory_at(begin)
            if known is None:
                span = record.span()
                held = "nothing" if span is None else f"{iso_time(span[0])} to {iso_time(span[1])}"
                raise WrongInput(f"{folder}: it begins after {iso_time(begin)}, it holds {held}")
            since, memory, run = known
            logs = logs or record.feed_logs(since - 3600.0, end + 1.0)
            done = tuple((each.time, each.action) for each in record.actions(since, end))
    except sqlite3.Error as error:
        raise WrongInput(f"{folder}: cannot be read ({error}), expected a whole record") from error
    if not logs:
        raise WrongInput(
            f"{folder}: no feed logs of that time in it (a replay keeps none), expected its log: RECORD LOG"
        )
    return Source(run.stay, run.stay_text, Path(run.stay.file), logs, since, memory, done)
