"""The cycle: readings in, everything known out. Pure: it knows no clock, file, thread or screen.

One function serves the live console (a block of one instant), replays (blocks of an hour), and every
look-ahead. The mechanics take a block at once; the alerts, which remember, are stepped only at the
instants at which something can change, which gives the same events as stepping every one.
"""

from collections.abc import Sequence
from dataclasses import replace

from alongside.actions import Action
from alongside.alerts.feed_senders import sender_events
from alongside.alerts.hearing import feed_events, hearing
from alongside.alerts.kept_rules import cleared, of_rules, rules_of_lines_out
from alongside.alerts.model import Event, Watchlist
from alongside.alerts.rule_model import Assessment, DueBys
from alongside.cycle.alerting import Alerted, alerted, findings_of, only_failed
from alongside.cycle.block import NONE_KNOWN, Block, Circumstances, in_order
from alongside.cycle.decide_memory import DecideMemory, as_remembered, decide_after
from alongside.cycle.deck.places import with_places
from alongside.cycle.due_now import due_now
from alongside.cycle.guard import Guard
from alongside.cycle.lengths import Lengths
from alongside.cycle.memory import Memory
from alongside.cycle.mooring import Mooring, mooring_of
from alongside.cycle.noted import noted
from alongside.cycle.plausibility.by_hand import readings_after
from alongside.cycle.watchkeeping import watchkeeping_after
from alongside.forecast.basis import Basis
from alongside.forecast.decided import Decisions
from alongside.forecast.expected.wind_forecast import forecast_after
from alongside.mechanics.holding import NO_WEAK_SPOT
from alongside.readings import Codes, Readings
from alongside.stay.model import Stay


def advance(
    basis: Basis,
    memory: Memory,
    readings: Readings,
    actions: Sequence[Action] = (),
    around: Circumstances = NONE_KNOWN,
) -> tuple[Memory, Block]:
    """Return the memory and the block after n instants of readings (n >= 1). `basis` is that of the stay
    file, whatever lines were shifted since. `actions` are what the watch did before the first of them and
    take effect at it. A tide or draught that is lost is carried on as expected; one that is doubtful is
    marked, and what rests on it is judged by its witness too. Any fault of ours is raised."""
    return _advance(basis, memory, readings, actions, around, Guard(strict=True))


def advance_guarded(
    basis: Basis,
    memory: Memory,
    readings: Readings,
    actions: Sequence[Action] = (),
    around: Circumstances = NONE_KNOWN,
) -> tuple[Memory, Block]:
    """Return the same for a watch that must live on: a fault in one part of the cycle leaves what that part
    gives not known, raises the calculation alert unless only words failed, and its trace stands in the
    block."""
    return _advance(basis, memory, readings, actions, around, Guard())


def _advance(
    basis: Basis,
    memory: Memory,
    readings: Readings,
    actions: Sequence[Action],
    around: Circumstances,
    guard: Guard,
) -> tuple[Memory, Block]:
    now = float(readings.time[0])
    memory, put_out, left = _with_places(basis.stay, memory, actions, now, guard)
    by_hand = readings_after(memory.by_hand, actions)
    mooring = mooring_of(basis, memory, readings, actions, left, by_hand, around, guard)
    basis, belief, lines, holding = mooring.basis, mooring.belief, mooring.lines, mooring.holding
    alerts_before, over = _of_lines_out(basis, memory.watchlist, lines.lengths, now)
    decided, of_decisions, decisions, due = _decided(basis.stay, memory, actions, around, now, guard)
    assessment, watchlist, alert_events = guard.run(
        "alerts",
        lambda: _alerted(mooring, alerts_before, actions, around, guard, due),
        lambda: only_failed(basis, alerts_before, belief.readings),
    )
    heard, feed_changes = _heard(basis.stay, memory.hearing, belief.readings, guard)
    notes = noted(basis.stay.display, memory.by_hand, memory.wind_forecast, now, actions)
    kept, of_watch = watchkeeping_after(memory.watchkeeping, basis.stay, now, actions)
    held = holding.last(in_question=bool(lines.lengths.brakes.questions))
    after = Memory(
        lines.lengths,
        watchlist,
        held.shown,
        heard,
        belief.residuals,
        memory.foresight,
        belief.memory,
        belief.readings.feeds.memory,
        held.by_witness,
        held.if_slipped,
        mooring.changed_at[-1],
        mooring.motion,
        by_hand,
        forecast_after(memory.wind_forecast, actions, now),
        kept,
        decided,
        memory.sent,
    )
    events = (*notes, *of_watch, *of_decisions, *put_out, *lines.events, *over, *feed_changes, *alert_events)
    return after, replace(
        _block(mooring, assessment, in_order(events), around, guard), due=due, decisions=decisions
    )


def _block(
    mooring: Mooring, assessment: Assessment, events: tuple[Event, ...], around: Circumstances, guard: Guard
) -> Block:
    """Return what n instants show, all but what is to be decided."""
    belief, holding = mooring.belief, mooring.holding
    weak = holding.worse.weak
    return Block(
        belief.readings,
        mooring.situation,
        mooring.lines.hold,
        assessment,
        events,
        guard.trace,
        unrecorded=around.unrecorded,
        filling=around.filling,
        call_fault=around.call_fault,
        bridge_fault=around.bridge_fault,
        next_limits=around.next_limits,
        doubts=belief.doubts(len(belief.readings) - 1),
        others=holding.others,
        ranges=mooring.ranges,
        weak=NO_WEAK_SPOT if weak is None else weak[-1],
    )


def _decided(
    stay: Stay, memory: Memory, actions: Sequence[Action], around: Circumstances, now: float, guard: Guard
) -> tuple[DecideMemory, tuple[Event, ...], Decisions | None, DueBys]:
    """Return what is remembered of times to decide by, what there is to say of them, the look ahead with what
    is remembered, and what is due."""
    decided, events = guard.run(
        "decide",
        lambda: decide_after(memory.decided, stay, around.decisions, now, actions),
        lambda: (memory.decided, ()),
    )
    decisions = guard.run("decide", lambda: as_remembered(decided, around.decisions, stay, now), lambda: None)
    due = guard.run("decide", lambda: due_now(decisions, now), lambda: None)
    return decided, events, decisions, due


def _with_places(
    stay: Stay, memory: Memory, actions: Sequence[Action], now: float, guard: Guard
) -> tuple[Memory, tuple[Event, ...], tuple[Action, ...]]:
    """Return the memory with a place for each line that is put out now, what there is to say of that, and the
    actions left to do. What was held with other lines is no answer."""
    lengths, changed_at, events, left = guard.run(
        "lines",
        lambda: with_places(stay, memory.lengths, memory.lengths_changed_at, actions, now),
        lambda: (memory.lengths, memory.lengths_changed_at, (), tuple(actions)),
    )
    if lengths is not memory.lengths:
        memory = replace(memory, held=None, held_by_witness=None, held_if_slipped=None)
        memory = replace(memory, lengths=lengths, lengths_changed_at=changed_at)
    return memory, events, left


def _of_lines_out(
    basis: Basis, watchlist: Watchlist, lengths: Lengths, now: float
) -> tuple[Watchlist, tuple[Event, ...]]:
    """Return the watchlist without alerts of lines that are gone, and that these are over."""
    gone = {line for line, is_gone in zip(basis.arrangement.ids, lengths.gone, strict=True) if is_gone}
    kept, dropped = of_rules(watchlist, rules_of_lines_out(basis.rules, gone))
    return kept, tuple(cleared(each, now) for each in dropped)


def _alerted(
    mooring: Mooring,
    before: Watchlist,
    actions: Sequence[Action],
    around: Circumstances,
    guard: Guard,
    due: DueBys,
) -> Alerted:
    """Return what rules say of n instants, and the alerts after them."""
    basis, judged, lines, holding = mooring.basis, mooring.judged, mooring.lines, mooring.holding
    findings = findings_of(
        basis, judged, mooring.situation, lines.hold, guard.calculation_failed, around.unrecorded
    )
    findings = replace(
        findings,
        next_limits=around.next_limits,
        due=due,
        clock_ahead_s=around.clock_ahead_s,
        parted_at=lines.lengths.parted_at(),
        holding=holding.worse.share,
        weak=holding.worse.weak,
        holding_gust=holding.worse.gust_share,
        filling=around.filling,
        over_brake=None if lines.slipped is None else lines.slipped.over,
        call_fault=around.call_fault,
        bridge_fault=around.bridge_fault,
        ranges=mooring.ranges,
    )
    return alerted(basis, before, findings, actions, guard, holding.others.findings(basis, judged))


def _heard(
    stay: Stay, before: Codes | None, readings: Readings, guard: Guard
) -> tuple[Codes | None, tuple[Event, ...]]:
    """Return how each channel is heard at the last instant, and what changed in the feeds."""
    last = readings.rows(len(readings) - 1, len(readings))
    heard = guard.run("feeds", lambda: hearing(last)[0], lambda: before)
    events = guard.run(
        "feeds",
        lambda: (*feed_events(stay, before, readings, guard.say), *sender_events(readings, guard.say)),
        tuple[Event, ...],
    )
    return heard, events
