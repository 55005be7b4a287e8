"""A watch goes on from its record: its memory, the gap without a watch, means of the gauges and charts."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf
from pathlib import Path
from typing import Final

from alongside import __version__
from alongside.alerts.model import Event
from alongside.cycle.deck.altered import altered_stay
from alongside.cycle.memory import Memory
from alongside.errors import AlongsideError, WrongInput
from alongside.readings import watched_channels
from alongside.record.access import OWNER_ONLY, Access, admitted, settle
from alongside.record.aside import set_aside
from alongside.record.chain import Break
from alongside.record.earlier import DAMAGE, Earlier, Inspection, find_earlier
from alongside.record.edited_stay import Carried, carried_over, deck_that_fits
from alongside.record.entries import Run
from alongside.record.faultlog import guarded, keep_trace
from alongside.record.faults import RecordInUse, in_words
from alongside.record.layout import journal_of
from alongside.record.lock import Lock
from alongside.record.need import need_of
from alongside.record.pieces import write_page
from alongside.record.recorder import Recorder
from alongside.record.salvage import salvage
from alongside.record.states import Columns, States
from alongside.record.words import (
    aside_text,
    break_text,
    gap_text,
    in_part_text,
    left_text,
    missing_rows,
    need_text,
    older_text,
    set_back_text,
    too_little_room_text,
)
from alongside.stay.model import Display, Stay

LATER_S: Final = 0.001
"""A run begins at least so long after the last instant on record."""


@dataclass(frozen=True, slots=True)
class Beginning:
    """Where a watch begins: its first events (`news`), those of before (`log`), and, where a fault of ours
    keeps it from having a record, what is to stand as not on record (`fault`)."""

    time: float
    memory: Memory
    news: tuple[Event, ...]
    log: tuple[Event, ...] = ()
    states: tuple[States, ...] = ()
    recorder: Recorder | None = None
    heard_until: float = -inf
    """Up to when the feed logs of the record reach."""
    fault: str = ""


def begin_afresh(stay: Stay, now: float) -> Beginning:
    """Return the beginning of a watch without a record."""
    return Beginning(now, Memory.at_start(stay), (Event(now, "started", text=stay.name),))


def begin_on_record(
    folder: Path, stay: Stay, channels: Sequence[str], now: float, access: Access = OWNER_ONLY
) -> Beginning:
    """Return the beginning of a watch that keeps its record in `folder`, for those of `access`, and goes on
    with what is there.

    Raises RecordInUse where another console keeps it, NewerRecord where a newer program wrote it, WrongInput
    where it is of another stay, closed to us or cannot be shared, or the folder can be none. Any other fault
    of the disk is left to the recorder, and with any fault of ours the watch begins all the same, without a
    record if need be.
    """
    access = admitted(folder, access)
    lock = _lock(folder, access)
    try:
        return _begin(folder, lock, stay, channels, now, access)
    except BaseException as error:
        if lock is not None:
            lock.release()
        if isinstance(error, AlongsideError) or not isinstance(error, Exception):
            raise
        keep_trace()
        fault = (
            f"record (a fault of ours, {type(error).__name__}, see the fault log; nothing in it was touched)"
        )
        return replace(begin_afresh(stay, now), fault=fault)


def _begin(
    folder: Path, lock: Lock | None, stay: Stay, channels: Sequence[str], now: float, access: Access
) -> Beginning:
    failed: list[str] = []
    notes: list[str] = []
    if lock is not None:
        notes.append(guarded("modes", lambda: settle(folder, access), "", failed, (WrongInput,)))
        guarded("page on copies", lambda: write_page(folder, access), None, failed)
    inspection = find_earlier(folder)
    aside = ""
    if inspection.spoilt:
        inspection, aside = _salvaged(folder, inspection, now, access)
    earlier = _of_this_stay(folder, inspection.earlier, stay)
    time = now if earlier is None else max(now, earlier.time + LATER_S)
    now_stay = _as_it_is_now(earlier, stay)
    run = Run(time, __version__, now_stay, text_of(stay), Columns.of(now_stay, channels))
    recorder = Recorder(folder, run, lock, -inf if earlier is None else earlier.even_until, access)
    _say_state(recorder, inspection, aside, earlier, stay.display)
    if short := guarded("room", lambda: too_little_room_text(need_of(stay), folder), "", failed):
        recorder.say(short)
    if inspection.missing.logs:
        notes += missing_rows(replace(inspection.missing, wal=False), stay.display)
    if not inspection.tried:
        notes.append("The oldest states of the journal were not tried: it is large")
    beginning = replace(begin_afresh(stay, time), recorder=recorder)
    news = tuple(Event(time, "note", text=note) for note in notes if note)
    beginning = replace(beginning, news=(*beginning.news, *news))
    if earlier is None:
        need = guarded("room", lambda: need_text(need_of(stay), folder), "room needed: not known", failed)
        return replace(beginning, news=(*beginning.news, Event(time, "note", text=need)))
    return _gone_on(beginning, recorder, earlier, stay, channels, now)


def _say_state(
    recorder: Recorder, inspection: Inspection, aside: str, earlier: Earlier | None, display: Display
) -> None:
    """Report what is the matter with the journal that was found, and what the watch goes on with."""
    damage = aside or _damage(inspection)
    behind = missing_rows(replace(inspection.missing, logs=()), display)
    if damage or behind:
        older = (aside or behind) and earlier is not None and earlier.run is not None
        left = older_text(earlier, display) if older and earlier else left_text(earlier, display)
        recorder.say("; ".join([*behind, *([damage] if damage else []), left]))
    if inspection.breaks:
        _say_altered(recorder, inspection.breaks, earlier, display)


def _say_altered(
    recorder: Recorder, breaks: Sequence[Break], earlier: Earlier | None, display: Display
) -> None:
    """Report where the record is not as it was written, once a day."""
    text = f"THE RECORD WAS CHANGED {break_text(breaks[0], display)}"
    if earlier is None or text not in {event.text for event in earlier.events}:
        recorder.say(text)


def _damage(inspection: Inspection) -> str:
    """Return what is the matter with the journal that was found, "" for nothing."""
    if inspection.gone:
        return "The journal is gone or empty, a new one is begun"
    return inspection.fault and f"Journal not read: {inspection.fault}"


def _salvaged(folder: Path, inspection: Inspection, now: float, access: Access) -> tuple[Inspection, str]:
    """Put a damaged journal aside and take over what can be read of it. Return what there is now, and the
    words for it."""
    try:
        kept = set_aside(folder, now)
    except OSError as error:
        return inspection, f"The journal is damaged and cannot be put aside ({in_words(error)})"
    failed: list[str] = []
    try:
        salvaged = guarded("salvage", lambda: salvage(kept, journal_of(folder), access), None, failed, DAMAGE)
    except DAMAGE:
        salvaged = None
    again = find_earlier(folder)
    if again.spoilt:
        journal_of(folder).unlink(missing_ok=True)
        again, salvaged = find_earlier(folder), None
    return again, aside_text(kept, salvaged)


def _gone_on(
    beginning: Beginning,
    recorder: Recorder,
    earlier: Earlier,
    stay: Stay,
    channels: Sequence[str],
    now: float,
) -> Beginning:
    """Return `beginning` with what was there before. What a fault of ours keeps from being taken over is left
    out and rings."""
    failed = list(earlier.unread)
    same_lines = earlier.lines == _lines(earlier, stay)
    as_it_is = replace(earlier.memory, hearing=None) if same_lines else beginning.memory
    carried = guarded(
        "what was edited since", lambda: _carried(earlier, stay, channels), Carried(as_it_is, ()), failed
    )
    memory = carried.memory
    plain = Event(beginning.time, "gap", value=beginning.time - earlier.time, text="no watch before this")
    gap = guarded("the gap", lambda: _gap(earlier, beginning.time, now, stay.display), plain, failed)
    if failed:
        left = left_text(earlier if memory is not beginning.memory else None, stay.display)
        recorder.say(f"{in_part_text(failed)}; {left}")
    notes = (Event(beginning.time, "note", text=note) for note in carried.notes)
    return replace(
        beginning,
        memory=memory,
        news=(*beginning.news, gap, *notes),
        log=earlier.events,
        states=earlier.states,
        heard_until=earlier.time,
    )


def _carried(earlier: Earlier, stay: Stay, channels: Sequence[str]) -> Carried:
    """Return the memory as it serves the stay file of now."""
    channels = watched_channels(channels)
    memory = earlier.memory
    if earlier.run is not None:
        return carried_over(memory, earlier.run.stay, earlier.run.columns.channels, stay, channels)
    if memory.hearing is not None and memory.hearing.size != len(channels):
        memory = replace(memory, hearing=None)
    return Carried(memory, ())


def _gap(earlier: Earlier, time: float, now: float, display: Display) -> Event:
    """Return the gap between the last instant on record and this one."""
    text = gap_text(earlier.time, time, earlier.stopped, display)
    if now < earlier.time:
        text = set_back_text(earlier.time - now)
    return Event(time, "gap", value=time - earlier.time, text=text)


def _of_this_stay(folder: Path, earlier: Earlier | None, stay: Stay) -> Earlier | None:
    """Return what is there, if it serves this stay. Raises WrongInput for that of another ship's stay."""
    if earlier is None:
        return None
    if earlier.run is None:
        return earlier if earlier.lines == _lines(earlier, stay) else None
    was = earlier.run.stay
    if was.name != stay.name and was.ship.name != stay.ship.name:
        raise WrongInput(
            f"{folder}: holds the record of {was.ship.name}, {was.name!r}; expected a folder for "
            f"{stay.ship.name}, {stay.name!r}: name another with --record, or move it away"
        )
    return earlier


def _lines(earlier: Earlier, stay: Stay) -> tuple[str, ...]:
    """Return the ids of the lines of a stay file with what was done on deck since."""
    return tuple(line.id for line in altered_stay(stay, earlier.memory.lengths.deck).lines)


def _as_it_is_now(earlier: Earlier | None, stay: Stay) -> Stay:
    """Return the stay file with what was done on deck since, as far as that fits."""
    if earlier is None:
        return stay
    deck = earlier.memory.lengths.deck
    before = stay if earlier.run is None else earlier.run.stay
    return altered_stay(stay, deck if earlier.run is None else deck_that_fits(earlier.memory, before, stay))


def _lock(folder: Path, access: Access) -> Lock | None:
    """Return the lock, None where the disk does not give it: the recorder tries again."""
    try:
        access.make_folder(folder)
        return Lock(folder, access)
    except RecordInUse:
        raise
    except OSError:
        return None


def text_of(stay: Stay) -> str:
    """Return the stay file itself, without those it names; "" where it cannot be read."""
    try:
        return Path(stay.file).read_text(encoding="utf-8", errors="replace")
    except OSError:
        return ""
