"""The cycle: readings in, everything known out. Pure: it knows no clock, file, thread or screen.

One function serves the live console (a block of one instant), replays (blocks of an hour), and every
look-ahead. The mechanics take a block at once; the alerts, which remember, are stepped only at the
instants at which something can change, which gives the same events as stepping every one.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from alongside.actions import Action
from alongside.alerts.event_text import refreshed
from alongside.alerts.feed_senders import sender_events
from alongside.alerts.hearing import feed_events, hearing
from alongside.alerts.kept_rules import cleared, of_rules, rules_of_lines_out
from alongside.alerts.model import Event, Watchlist
from alongside.alerts.rule_model import Assessment, NextLimits
from alongside.alerts.text import Facts
from alongside.cycle.alerting import Alerted, alerted, findings_of, only_failed
from alongside.cycle.brakes.by_load_cell import Cells
from alongside.cycle.brakes.loads_seen import misled_at
from alongside.cycle.deck.altered import altered
from alongside.cycle.deck.places import with_places
from alongside.cycle.forecast_memory import ForecastMemory
from alongside.cycle.guard import Guard
from alongside.cycle.holding_by_state import HeldBefore, HoldingByState, holding_by_state
from alongside.cycle.holding_now import Held
from alongside.cycle.lengths import Lengths
from alongside.cycle.line_history import LineHistory, line_history
from alongside.cycle.motion_range import Minutes, motion_ranges
from alongside.cycle.noted import noted
from alongside.cycle.other_states import BY_LENGTHS, NO_OTHER_STATE, OtherState, OtherStates, other_states
from alongside.cycle.plausibility.alternative import situation_by_witnesses
from alongside.cycle.plausibility.believed import Belief, believed
from alongside.cycle.plausibility.by_hand import HandReadings, readings_after
from alongside.cycle.plausibility.model import NOTHING_KNOWN, Doubt, Plausibility
from alongside.cycle.plausibility.under_keel import situation_by_sounding
from alongside.cycle.settled_cells import lengths_changed_at, with_settled_cells
from alongside.cycle.watchkeeping import NOTHING_KEPT, Watchkeeping, watchkeeping_after
from alongside.forecast.basis import Basis
from alongside.forecast.expected.wind_forecast import WindForecast, forecast_after
from alongside.forecast.tide.stand_in import Samples
from alongside.mechanics.automatic import set_by_hand
from alongside.mechanics.hold import nothing_known
from alongside.mechanics.holding import NO_WEAK_SPOT, WeakSpot
from alongside.mechanics.situation import Situation, situation_of, unknown_situation
from alongside.mechanics.state import Hold
from alongside.readings import NO_FEED_MEMORY, Codes, FeedMemory, Floats, Readings, with_unfitted
from alongside.stay.model import Stay


@dataclass(frozen=True, slots=True)
class Memory:
    """All that one block of cycles hands to the next."""

    lengths: Lengths
    watchlist: Watchlist = field(default_factory=Watchlist)
    held: Held | None = None
    """What wind was worked out to be held last; None before, or where the ship is kept in place."""
    hearing: Codes | None = None
    """(c,) `alerts.hearing` of every channel at the last instant; None before the first."""
    residuals: Samples = ()
    """(time, m) measured minus predicted level while the tide was heard last."""
    foresight: ForecastMemory | None = None
    """What a replay goes by that looks ahead as it goes; None where nothing does, or something beside it."""
    plausibility: Plausibility = NOTHING_KNOWN
    """What the judgement of channels rests on."""
    feeds: FeedMemory = NO_FEED_MEMORY
    """What the intake must know of the feeds to go on."""
    held_by_witness: Held | None = None
    """As `held`, by the witnesses of doubtful gauges; None where nothing is doubtful."""
    held_if_slipped: Held | None = None
    """The same if brakes in question slipped; None where none is in question."""
    lengths_changed_at: Floats | None = None
    """(lines,) UNIX seconds at which each length last changed, minus infinity where it never did; None at the
    start."""
    motion: Minutes = ()
    """Least and most of surge, sway and yaw in each of the last minutes."""
    by_hand: HandReadings = ()
    """What somebody has read by hand."""
    wind_forecast: WindForecast = ()
    """What a weather forecast says of the wind, as somebody has typed it."""
    watchkeeping: Watchkeeping = NOTHING_KEPT
    """Standing orders, hand-over and self-test."""

    @classmethod
    def at_start(cls, stay: Stay) -> "Memory":
        return cls(Lengths.before_all(stay))


@dataclass(frozen=True, slots=True)
class Block:
    """What n cycles found; `events` in the order in which they happened."""

    readings: Readings
    situation: Situation
    hold: Hold
    assessment: Assessment
    events: tuple[Event, ...]
    fault: str = ""
    """Trace of the fault that kept the mechanics from an answer; "" where there was none."""
    unrecorded: str = ""
    """What is not being put on record, in words; "" where all is, or nothing is to be."""
    next_limits: NextLimits = None
    doubts: tuple[Doubt, ...] = ()
    """What stands against which channel at the last instant."""
    others: OtherStates = NO_OTHER_STATE
    """What may be so as well."""
    filling: str = ""
    """Which feed fills the disk faster than foreseen, in words."""
    call_fault: str = ""
    """Why the second caller failed when it was called last."""

    ranges: Floats | None = None
    """(n, 3) range of surge m, sway m and yaw deg over the last 15 min; None where nobody kept it."""
    weak: WeakSpot = NO_WEAK_SPOT
    """What would give first at the last instant in a stronger wind from where it blows, in the state that the
    alert goes by."""

    def with_event(self, event: Event) -> "Block":
        """Return the same block with one more event."""
        return replace(self, events=in_order((*self.events, event)))


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What a cycle takes into account beside readings and actions."""

    unrecorded: str = ""
    """What could not be put on record before it, in words."""
    next_limits: NextLimits = None
    """What the latest forecast expects."""
    clock_ahead_s: float = 0.0
    """By how much the times of the watch run ahead of the clock, which was set back."""
    closed: tuple[str, ...] = ()
    """Feeds whose port is not open."""
    filling: str = ""
    """Which feed fills the disk faster than foreseen, in words."""
    call_fault: str = ""
    """Why the second caller failed when it was called last, in words."""


NONE_KNOWN: Final = Circumstances()


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
    as_written, now = basis, float(readings.time[0])
    memory, put_out, left = _with_places(as_written.stay, memory, actions, now, guard)
    basis = altered(as_written, memory.lengths.deck)
    by_hand = readings_after(memory.by_hand, actions)
    belief = _believed(basis, memory, with_unfitted(readings), actions, around, by_hand, guard)
    readings = belief.readings
    situation = guard.run(
        "situation", lambda: situation_of(basis.stay, readings), lambda: unknown_situation(readings.time)
    )
    lines = _lines(as_written.stay, basis, memory, readings, situation, left, guard)
    lengths, states = lines.lengths, lines.hold
    basis = altered(as_written, lengths.deck)
    was, lengths_set = (
        set_by_hand(basis.arrangement, each)
        for each in (memory.lengths.unstretched, states.lines.unstretched_m)
    )
    changed_at = lengths_changed_at(memory.lengths_changed_at, was, lengths_set, readings.time)
    judged = with_settled_cells(basis.stay, readings, changed_at)
    ranges, motion = motion_ranges(memory.motion, was, situation, states, lengths_set)
    others = guard.run(
        "witnesses",
        lambda: other_states(
            basis,
            judged,
            situation,
            situation_by_witnesses(basis.witnesses, belief, situation),
            states,
            lines.slipped,
            situation_by_sounding(basis.witnesses, by_hand, situation),
        ),
        OtherStates,
    )
    shown = OtherState(situation, states, BY_LENGTHS)
    holding = holding_by_state(basis, _held(memory), judged, shown, others, guard)
    alerts_before, over = _of_lines_out(basis, memory.watchlist, lengths, now)
    assessment, watchlist, alert_events = guard.run(
        "alerts",
        lambda: _alerted(basis, alerts_before, judged, shown, lines, holding, ranges, actions, around, guard),
        lambda: only_failed(basis, alerts_before, readings),
    )
    heard, feed_changes = _heard(basis.stay, memory.hearing, readings, guard)
    notes = noted(basis.stay.display, memory.by_hand, memory.wind_forecast, now, actions)
    kept, of_watch = watchkeeping_after(memory.watchkeeping, basis.stay, now, actions)
    events = in_order((*notes, *of_watch, *put_out, *lines.events, *over, *feed_changes, *alert_events))
    held = holding.last(in_question=bool(lengths.brakes.questions))
    after = Memory(
        lengths,
        watchlist,
        held.shown,
        heard,
        belief.residuals,
        memory.foresight,
        belief.memory,
        readings.feeds.memory,
        held.by_witness,
        held.if_slipped,
        changed_at[-1],
        motion,
        by_hand,
        forecast_after(memory.wind_forecast, actions, now),
        kept,
    )
    weak = holding.worse.weak
    return after, Block(
        readings,
        situation,
        states,
        assessment,
        events,
        guard.trace,
        unrecorded=around.unrecorded,
        filling=around.filling,
        call_fault=around.call_fault,
        next_limits=around.next_limits,
        doubts=belief.doubts(len(readings) - 1),
        others=holding.others,
        ranges=ranges,
        weak=NO_WEAK_SPOT if weak is None else weak[-1],
    )


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


def _believed(
    basis: Basis,
    memory: Memory,
    readings: Readings,
    actions: Sequence[Action],
    around: Circumstances,
    by_hand: HandReadings,
    guard: Guard,
) -> Belief:
    """Return the readings as they are believed; as they were heard where judging them failed."""
    before, residuals = memory.plausibility, memory.residuals
    return guard.run(
        "channels",
        lambda: believed(basis.witnesses, before, residuals, readings, actions, around.closed, by_hand),
        lambda: Belief(readings, before, residuals),
    )


def _lines(
    stay_file: Stay,
    basis: Basis,
    memory: Memory,
    readings: Readings,
    situation: Situation,
    actions: Sequence[Action],
    guard: Guard,
) -> LineHistory:
    """Return what became of the lines; nothing is known of them where that failed."""
    return guard.run(
        "lines",
        lambda: line_history(
            basis.stay,
            basis.arrangement,
            memory.lengths,
            situation,
            actions,
            running=memory.hearing is not None,
            misled=misled_at(readings),
            cells=Cells.of(basis.stay, basis.arrangement, readings),
            changed_at=memory.lengths_changed_at,
            stay_file=stay_file,
        ),
        lambda: LineHistory(memory.lengths, (), nothing_known(basis.arrangement, situation)),
    )


def _held(memory: Memory) -> HeldBefore:
    return HeldBefore(memory.held, memory.held_by_witness, memory.held_if_slipped)


def _of_lines_out(
    basis: Basis, watchlist: Watchlist, lengths: Lengths, now: float
) -> tuple[Watchlist, tuple[Event, ...]]:
    """Return the watchlist without alerts of lines that are gone, and that these are over."""
    gone = {line for line, is_gone in zip(basis.arrangement.ids, lengths.gone, strict=True) if is_gone}
    kept, dropped = of_rules(watchlist, rules_of_lines_out(basis.rules, gone))
    return kept, tuple(cleared(each, now) for each in dropped)


def _alerted(
    basis: Basis,
    before: Watchlist,
    judged: Readings,
    shown: OtherState,
    lines: LineHistory,
    holding: HoldingByState,
    ranges: Floats,
    actions: Sequence[Action],
    around: Circumstances,
    guard: Guard,
) -> Alerted:
    """Return what rules say of n instants, and the alerts after them."""
    found = findings_of(
        basis, judged, shown.situation, shown.hold, guard.calculation_failed, around.unrecorded
    )
    found = replace(
        found,
        next_limits=around.next_limits,
        clock_ahead_s=around.clock_ahead_s,
        parted_at=lines.lengths.parted_at(),
        holding=holding.worse.share,
        weak=holding.worse.weak,
        holding_gust=holding.worse.gust_share,
        filling=around.filling,
        over_brake=None if lines.slipped is None else lines.slipped.over,
        call_fault=around.call_fault,
        ranges=ranges,
    )
    return alerted(basis, before, found, actions, guard, holding.others.findings(basis, judged))


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


def watchlist_now(basis: Basis, memory: Memory, block: Block, guard: Guard) -> Watchlist:
    """Return the watchlist with values and texts of the block's last instant, for showing."""
    facts = facts_now(basis, memory, block)
    return refreshed(memory.watchlist, block.assessment.at(facts.row), guard.words(facts))


def facts_now(basis: Basis, memory: Memory, block: Block) -> Facts:
    """Return what texts are made from at the block's last instant."""
    row = len(block.readings) - 1
    return Facts(
        basis.stay,
        block.assessment,
        block.readings,
        row,
        block.hold.lines,
        block.hold.pose,
        block.weak,
        block.unrecorded,
        block.next_limits or (),
        memory.lengths.parted_at(),
        block.filling,
        None if block.others.slipped is None else block.others.slipped.over,
        block.call_fault,
    )


def in_order(events: Sequence[Event]) -> tuple[Event, ...]:
    """Return events by time; those of one instant keep the order they were told in."""
    return tuple(sorted(events, key=lambda event: event.time))
