"""A watch goes on from its record: what it remembers, what it tells of the time it slept through, what it
has heard and what its charts show."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf
from pathlib import Path
from typing import Final

import numpy as np

from alongside import __version__
from alongside.alerts.model import Event
from alongside.cycle.advance import Memory
from alongside.cycle.chart_history import Past
from alongside.cycle.line_history import BREAK_S
from alongside.cycle.picture_of import series_names
from alongside.errors import WrongInput
from alongside.feeds.batch import Batch
from alongside.feeds.intake import Intake, memory_of_intake
from alongside.feeds.log import FeedLog
from alongside.feeds.sentence import tag_name
from alongside.forecast.basis import Basis
from alongside.readings import Floats
from alongside.record.aside import set_aside
from alongside.record.earlier import Earlier, Found, find_earlier
from alongside.record.edited_stay import carried_over
from alongside.record.entries import Run
from alongside.record.faultlog import keep_trace
from alongside.record.faults import RecordInUse, in_words
from alongside.record.feedfiles import feed_logs
from alongside.record.gap import gap_text, span_words
from alongside.record.left import left_words
from alongside.record.lock import Lock
from alongside.record.need import lack_of, need_of, said_of
from alongside.record.recorder import Recorder
from alongside.record.states import Columns, States
from alongside.stay.model import Display, Stay

LATER_S: Final = 0.001
"""A run begins at least so long after the last instant on record."""


@dataclass(frozen=True, slots=True)
class Beginning:
    """Where a watch begins. `told` is to be told first, `log` was told before."""

    time: float
    memory: Memory
    told: tuple[Event, ...]
    log: tuple[Event, ...] = ()
    states: tuple[States, ...] = ()
    recorder: Recorder | None = None
    heard_until: float = -inf
    """Up to when the feed logs of the record tell what was heard before."""


def begin_afresh(stay: Stay, now: float) -> Beginning:
    """A watch without a record."""
    return Beginning(now, Memory.at_start(stay), (Event(now, "started", text=stay.name),))


def begin_on_record(folder: Path, stay: Stay, channels: Sequence[str], now: float) -> Beginning:
    """A watch that keeps its record in `folder`, and goes on with what is there.

    Raises RecordInUse where another console keeps it, NewerRecord where a newer program wrote it, WrongInput
    where it is of another stay or the folder can be none. Any other fault of the disk is left to the
    recorder: the watch begins all the same.
    """
    if folder.exists() and not folder.is_dir():
        raise WrongInput(f"{folder}: is a file, expected a folder for the record")
    lock = _lock(folder)
    try:
        return _begin(folder, lock, stay, channels, now)
    except BaseException:
        if lock is not None:
            lock.release()
        raise


def _begin(folder: Path, lock: Lock | None, stay: Stay, channels: Sequence[str], now: float) -> Beginning:
    found = find_earlier(folder)
    earlier = _of_this_stay(folder, found.earlier, stay)
    time = now if earlier is None else max(now, earlier.time + LATER_S)
    run = Run(time, __version__, stay, _text_of(stay), Columns.of(stay, channels))
    damage = _damage(folder, found, time)
    recorder = Recorder(folder, run, lock, -inf if earlier is None else earlier.even_until)
    if damage:
        recorder.say(f"{damage}; {left_words(earlier, stay.display)}")
    if lack := lack_of(need_of(stay), folder):
        recorder.say(lack)
    beginning = replace(begin_afresh(stay, time), recorder=recorder)
    if earlier is None:
        need = Event(time, "note", text=said_of(need_of(stay), folder))
        return replace(beginning, told=(*beginning.told, need))
    return _gone_on(beginning, earlier, stay, channels, now)


def _damage(folder: Path, found: Found, time: float) -> str:
    """What is the matter with the journal that was found, "" for nothing."""
    if found.gone:
        return "The journal is gone or empty, a new one is begun"
    if not found.spoilt:
        return found.fault and f"Journal not read: {found.fault}"
    try:
        return set_aside(folder, time)
    except OSError as error:
        return f"The journal is damaged and cannot be put aside ({in_words(error)})"


def _gone_on(
    beginning: Beginning, earlier: Earlier, stay: Stay, channels: Sequence[str], now: float
) -> Beginning:
    """`beginning` with what was there before. A fault of ours in taking it over must not keep the watch from
    starting: then it begins anew, and says so."""
    try:
        return _taken_over(beginning, earlier, stay, channels, now)
    except Exception as error:  # guards the watch
        keep_trace()
        fault = f"what was on record is not taken over: a fault of ours, {type(error).__name__}"
        if beginning.recorder is not None:
            beginning.recorder.say(f"{fault}; {left_words(None, stay.display)}")
        return beginning


def _taken_over(
    beginning: Beginning, earlier: Earlier, stay: Stay, channels: Sequence[str], now: float
) -> Beginning:
    memory: Memory = earlier.memory
    notes: tuple[str, ...] = ()
    if earlier.run is not None:
        heard = earlier.run.columns.channels
        carried = carried_over(memory, earlier.run.stay, heard, stay, channels)
        memory, notes = carried.memory, carried.notes
    elif memory.hearing is not None and memory.hearing.size != len(channels):
        memory = replace(memory, hearing=None)
    if beginning.time - earlier.time > BREAK_S:
        memory = memory.after_a_break()
    told = [*beginning.told, _slept(earlier, beginning.time, now, stay.display)]
    told += [Event(beginning.time, "note", text=note) for note in notes]
    return replace(
        beginning,
        memory=memory,
        told=tuple(told),
        log=earlier.events,
        states=earlier.states,
        heard_until=earlier.time,
    )


def _slept(earlier: Earlier, time: float, now: float, display: Display) -> Event:
    """The gap between the last instant on record and this one."""
    span = time - earlier.time
    text = gap_text(earlier.time, time, earlier.stopped, display)
    if now < earlier.time:
        back = span_words(round(earlier.time - now))
        text = f"the clock was set back by {back} while there was no watch"
    return Event(time, "gap", value=span, text=text)


def _of_this_stay(folder: Path, earlier: Earlier | None, stay: Stay) -> Earlier | None:
    """What is there, if it serves this stay. Raises WrongInput for the record of another ship's stay."""
    if earlier is None:
        return None
    if earlier.run is None:
        return earlier if earlier.lines == tuple(line.id for line in stay.lines) else None
    was = earlier.run.stay
    if was.name != stay.name and was.ship.name != stay.ship.name:
        raise WrongInput(
            f"{folder}: holds the record of {was.ship.name}, {was.name!r}; expected a folder for "
            f"{stay.ship.name}, {stay.name!r}: name another with --record, or move it away"
        )
    return earlier


def _lock(folder: Path) -> Lock | None:
    """The lock, None where the disk does not give it: the recorder tries again."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        return Lock(folder)
    except RecordInUse:
        raise
    except OSError:
        return None


def _text_of(stay: Stay) -> str:
    try:
        return Path(stay.file).read_text(encoding="utf-8", errors="replace")
    except OSError:
        return ""


def warm(intake: Intake, folder: Path, until: float, now: float) -> None:
    """Let an intake hear what was heard shortly before `until`, so that means, spikes and freezes rest on
    what they did rest on. A feed whose strictest channel would be lost by now starts anew, as after any long
    silence: what is lost because nobody listened is no news of the gauge."""
    begin = until - memory_of_intake(intake.stay)
    batches = [batch for path in feed_logs(folder, begin, until) for batch in FeedLog(path, begin)]
    newest: dict[bytes | None, float] = {}
    for batch in batches:
        newest.update(zip(batch.source, batch.time, strict=True))
    fresh = {
        tag_name(feed.name)
        for feed in intake.stay.feeds
        if feed.channels
        and newest.get(tag_name(feed.name), -inf) > now - min(source.lost_s for source in feed.channels)
    }
    for batch in batches:
        intake.take_batch(_said_by(batch, fresh))


def _said_by(batch: Batch, feeds: set[bytes]) -> Batch:
    return batch.where([source in feeds for source in batch.source])


def restore(past: Past, basis: Basis, channels: Sequence[str], states: Sequence[States]) -> None:
    """Fill the past with even states of an earlier run."""
    names = series_names(basis, channels)
    for piece in states:
        past.add(piece.time, _columns(piece, names, set(channels)))


def _columns(states: States, names: Sequence[str], channels: set[str]) -> Floats:
    columns = [states.numbers(f"value.{name}" if name in channels else name) for name in names]
    return np.stack(columns, axis=1)
