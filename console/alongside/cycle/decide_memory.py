"""What is remembered of times to decide by: what was due when last, what has moved it, and what is ordered.

A time that moves by less than ten minutes is the same one. Its reason is what has changed since it was said
last: an entry of the forecast, the set of limits that counts, what the lines hold, or the wind itself.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf, isfinite, isnan, nan
from typing import Final

from alongside.actions import Action, Correct, SayTransfer
from alongside.alerts.model import Event
from alongside.cycle.deck.notes import by_whom
from alongside.cycle.deck.others import CALL, TRANSFER
from alongside.cycle.orders_given import SUBJECTS, Answered, Answers, answers_after, given, last_of, without
from alongside.forecast.decide_notes import BEGUN
from alongside.forecast.decided import DecideRow, Decisions, LimitToCome, when
from alongside.forecast.transfer import TransferSaid
from alongside.stay.model import Order, Stay
from alongside.wording.actions import transfer_words
from alongside.wording.decide import DEEDS
from alongside.wording.figures import held_speed
from alongside.wording.times import DayClock

MOVED_S: Final = 600.0
"""A time that moves by less is the same one. Ours."""
FAR_S: Final = 1800.0
"""By so much the wind itself must bring a time forward, so that it is said. Ours."""
NEAR_S: Final = 3 * 3600.0
"""What was due later is dropped without a word. Ours."""
DECIDE: Final = "decide"
"""Subject of the events."""
OTHER_SET: Final = {True: "with transfer other limits count", False: "without transfer other limits count"}


@dataclass(frozen=True, slots=True)
class Said:
    """What was said last of one order, UNIX s: due `by`, since `at`; `was` before it moved, NaN where it did
    not, and why. `missed` is when it was due as that passed unanswered, NaN for none; `shown` when it is due
    by the look ahead that was taken last. The rest is what it rested on."""

    order: Order
    by: float
    at: float
    newest: float
    with_transfer: bool
    by_lines: bool
    limit_ms: float
    expected: float
    was: float = nan
    why: str = ""
    missed: float = nan
    shown: float = nan
    early: bool = False
    """Whether it was due before the watch knew of the wind: nobody has missed it."""


@dataclass(frozen=True, slots=True)
class DecideMemory:
    said: tuple[Said, ...] = ()
    answers: Answers = ()
    transfer: TransferSaid | None = None
    blind: bool = False
    """Whether that one had no wind that was measured: what it said is no time that has moved."""
    looked: float = nan
    """From when the answer looked ahead that was taken last, UNIX s."""
    began: float = nan
    """From when the first one did that rests on a wind that was heard, or read by hand, UNIX s; without a
    gauge for the wind the first of all. What was due before is not remembered as missed; NaN: nothing is."""

    def answered(self, order: Order, stay: Stay, now: float) -> Answered:
        """Return when an order was given, UNIX s, and by whom, as `orders_given.given` does."""
        return given(self.answers, order, stay, now)

    def said_of(self, order: str) -> Said | None:
        return next((each for each in self.said if each.order == order), None)


NOTHING_DECIDED: Final = DecideMemory()


def decide_after(
    before: DecideMemory, stay: Stay, decisions: Decisions | None, now: float, actions: Sequence[Action]
) -> tuple[DecideMemory, tuple[Event, ...]]:
    """Return what is remembered after what the watch entered, and after a new look ahead where there is one,
    with a note on each time that has moved or is over."""
    memory, events = before, list[Event]()
    for action in actions:
        memory, new = _entered(memory, stay, now, action)
        events += new
    if decisions is None or decisions.time == memory.looked:
        return memory, tuple(events)
    if isnan(memory.began) and (decisions.measured or not _has_wind_gauge(stay)):
        memory = replace(memory, began=decisions.time)
    if memory.blind or not decisions.measured:
        kept = tuple(each for each in memory.said if isfinite(each.missed) or each.early)
        memory = replace(memory, said=kept)
    said = tuple(_said(memory, row, decisions, stay, now) for row in decisions.rows)
    events += _moves(memory, said, decisions, stay, now)
    after = replace(memory, said=said, looked=decisions.time, blind=not decisions.measured)
    return after, tuple(events)


def _moves(
    memory: DecideMemory, said: Sequence[Said], decisions: Decisions, stay: Stay, now: float
) -> list[Event]:
    """Return a note for each reason for which times have moved, or are due no more, that are near, and not
    ordered yet."""
    clock, moved = DayClock(stay.display, now), dict[str, list[str]]()
    for each in said:
        if each.at == now and each.why and isnan(memory.answered(each.order, stay, now).at):
            words = f"{DEEDS[each.order].lower()} by {clock(each.by)}, was {clock(each.was)}"
            moved.setdefault(each.why, []).append(words)
    for old in memory.said:
        if decisions.row(old.order) is None and old.by <= now + NEAR_S:
            words = f"{DEEDS[old.order].lower()} due no more, was {clock(old.by)}"
            moved.setdefault(_over(old, decisions, stay), []).append(words)
    return [
        Event(now, "note", subject=DECIDE, text=f"{why[:1].upper()}{why[1:]}: {'; '.join(words)}")
        for why, words in moved.items()
    ]


def _entered(
    memory: DecideMemory, stay: Stay, now: float, action: Action
) -> tuple[DecideMemory, list[Event]]:
    """Return what is remembered after one deed of the watch, and its event where it has no other."""
    if isinstance(action, Correct):
        is_line = any(line.id == action.line for line in stay.lines)
        known = action.line in SUBJECTS and not is_line
        return _taken_back(memory, now, action) if known else (memory, [])
    memory = replace(memory, answers=answers_after(memory.answers, action, now))
    if not isinstance(action, SayTransfer):
        return memory, []
    words = transfer_words(action)
    text = f"{words[:1].upper()}{words[1:]}{by_whom(action.by)}"
    return replace(memory, transfer=TransferSaid(action.connected, now)), [Event(now, "note", text=text)]


def _taken_back(memory: DecideMemory, now: float, action: Correct) -> tuple[DecideMemory, list[Event]]:
    """Return what is remembered as if the last deed of a subject had not been; the event of what is taken
    back of cargo and tugs is made where that is."""
    last = last_of(memory.answers, action.line)
    is_any = last is not None
    memory = replace(memory, answers=without(memory.answers, last))
    text = "what was entered of arms or hoses"
    if action.line == TRANSFER:
        is_any = is_any or memory.transfer is not None  # of a record that an older program wrote
        before = last_of(memory.answers, TRANSFER)
        said = None if before is None else TransferSaid(before.order is None, before.at)
        memory = replace(memory, transfer=said)
    elif action.line != CALL:
        return memory, []
    elif last is not None:
        text = last.words if last.order is None else DEEDS[last.order].lower()
    if not is_any:
        words = f"{action.line.capitalize()}: not done: nothing was entered that can be taken back"
        return memory, [Event(now, "note", text=words)]
    return memory, [Event(now, "note", text=f"Taken back: {text}{by_whom(action.by)}")]


def _has_wind_gauge(stay: Stay) -> bool:
    return any(source.channel == "wind_speed" for feed in stay.feeds for source in feed.channels)


def _said(memory: DecideMemory, row: DecideRow, decisions: Decisions, stay: Stay, now: float) -> Said:
    limit, old = row.limit, memory.said_of(row.order)
    was_early = old is not None and old.early
    early = row.by < now and (was_early or not row.by >= memory.began)
    new = Said(
        row.order,
        row.by,
        now,
        decisions.newest,
        limit.with_transfer,
        limit.agreed is None,
        limit.limit_ms,
        limit.expected,
        missed=row.by if row.by < now and not early else nan,
        shown=row.by,
        early=early,
    )
    if old is None or old.early:
        return new
    missed = old.missed if isfinite(old.missed) else old.shown
    passed = missed < now
    same = replace(old, newest=decisions.newest, missed=missed if passed else new.missed, shown=row.by)
    if passed and row.by < now + MOVED_S:  # as good as past still: the time that was missed stands
        return same
    before = missed if passed else old.by
    if not abs(row.by - before) >= MOVED_S:
        return same
    word = "earlier" if row.by < before else "later"
    why = _why(old, row, decisions, stay, word)
    if not why and not passed and old.by - row.by < FAR_S:  # as the hours come nearer their spread narrows
        kept = replace(new, at=old.at, was=old.was, why=old.why) if _still_so(old, row.by) else new
        return same if row.by < old.by else kept
    return replace(new, was=before, why=why or f"the wind may come {word} than was expected")


def _still_so(said: Said, by: float) -> bool:
    """Return whether a time that has moved, and crept on since, lies on the side to which it had moved."""
    return isfinite(said.was) and (by < said.was) == (said.by < said.was)


def _why(old: Said, row: DecideRow, decisions: Decisions, stay: Stay, word: str) -> str:
    """Return what has moved a time, `word` earlier or later: `forecast of 02:00 has the wind earlier`; ""
    where it is but the wind."""
    limit, clock = row.limit, DayClock(stay.display, decisions.time)
    by_forecast = row.by < row.by_before if word == "earlier" else row.by > row.by_before
    if decisions.newest > old.newest and by_forecast:
        return f"forecast of {clock(decisions.newest)} has the wind {word}"
    if limit.with_transfer != old.with_transfer:
        return OTHER_SET[limit.with_transfer]
    if limit.agreed is None and old.by_lines and abs(limit.limit_ms - old.limit_ms) >= 0.5:
        now, was = (held_speed(ms, stay.display) for ms in (limit.limit_ms, old.limit_ms))
        return f"lines hold {now}, held {was}"
    return ""


def _over(old: Said, decisions: Decisions, stay: Stay) -> str:
    if old.with_transfer and not decisions.connected and not decisions.turns:
        return OTHER_SET[False]
    if decisions.newest > old.newest:
        clock = DayClock(stay.display, decisions.time)
        return f"forecast of {clock(decisions.newest)} has less wind"
    return "nothing calls for it any more" if decisions.limits else "no limit is likely to be reached"


def as_remembered(
    memory: DecideMemory, decisions: Decisions | None, stay: Stay, now: float
) -> Decisions | None:
    """Return a look ahead with what is remembered of each order: the due time that was missed, until
    there is time again; what has moved it; when it was given. The soonest due first. None without a
    look."""
    if decisions is None:
        return None
    over = _disconnected_since(memory, decisions)
    rows = (_row_remembered(memory, row, stay, now) for row in decisions.rows if row.limit not in over)
    limits = tuple(each for each in decisions.limits if each not in over)
    decisions = replace(decisions, limits=limits) if over else decisions
    return replace(decisions, rows=tuple(sorted(rows, key=when)))


def _disconnected_since(memory: DecideMemory, decisions: Decisions) -> list[LimitToCome]:
    """Return the limits to stop cargo and to disconnect that are answered outright: the watch has said since
    that she is disconnected. Those of a later transfer stand."""
    said = memory.transfer
    if said is None or said.connected or said.at < decisions.time or not decisions.connected:
        return []
    until = min(decisions.turns, default=inf)
    return [
        each for each in decisions.limits if each.do in BEGUN and each.with_transfer and each.first < until
    ]


def _row_remembered(memory: DecideMemory, row: DecideRow, stay: Stay, now: float) -> DecideRow:
    answer = memory.answered(row.order, stay, now)
    row = replace(row, answered=answer.at, answered_by=answer.by)
    said = memory.said_of(row.order)
    if said is None:
        return row
    if said.missed < now:
        return replace(row, missed=said.missed)
    if said.early and row.by < now:
        return replace(row, early=True)
    moved = row.by >= now and _still_so(said, row.by)
    return replace(row, was=said.was, why=said.why) if moved else row
