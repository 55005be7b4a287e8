"""The cycle: readings in, everything known out. Pure: it knows no clock, file, thread or screen.

One function serves the live console (a block of one instant), replays (blocks of an hour), and every
look-ahead. The mechanics take a block at once; the alerts, which remember, are stepped only at the
instants at which something can change, which gives the same events as stepping every one.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from alongside.actions import Action, JudgeChannel, Note, TakeOver
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
from alongside.cycle.by_hand_events import forecast_events, reading_events
from alongside.cycle.deck.altered import altered
from alongside.cycle.deck.places import Places, with_places
from alongside.cycle.forecast_memory import ForecastMemory
from alongside.cycle.guard import Guard
from alongside.cycle.holding_now import Held, HoldingNow, holding_now
from alongside.cycle.lengths import Lengths
from alongside.cycle.line_history import LineHistory, line_history
from alongside.cycle.motion_range import Minutes, motion_ranges
from alongside.cycle.other_states import BY_LENGTHS, NO_OTHER_STATE, OtherState, OtherStates, other_states
from alongside.cycle.plausibility.alternative import situation_by_witnesses
from alongside.cycle.plausibility.believed import Belief, believed
from alongside.cycle.plausibility.by_hand import HandReadings, readings_after
from alongside.cycle.plausibility.model import NOTHING_KNOWN, Doubt, Plausibility
from alongside.cycle.plausibility.under_keel import situation_by_sounding
from alongside.cycle.settled_cells import lengths_changed_at, with_settled_cells
from alongside.cycle.worse_holding import worse_holding
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
from alongside.wording.names import channel as channel_words

HAND_OVER: Final = "hand_over"
"""Subject of the note that the watch was taken over."""


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
    readings = with_unfitted(readings)
    by_hand = readings_after(memory.by_hand, actions)
    now, as_written = float(readings.time[0]), basis
    placed = guard.run(
        "lines",
        lambda: with_places(basis.stay, memory.lengths, memory.lengths_changed_at, actions, now),
        lambda: (memory.lengths, memory.lengths_changed_at, (), tuple(actions)),
    )
    memory = _placed(memory, placed)
    basis = altered(basis, memory.lengths.deck)
    as_heard = Belief(readings, memory.plausibility, memory.residuals)
    belief = guard.run(
        "channels", lambda: _believed(basis, memory, readings, actions, around, by_hand), lambda: as_heard
    )
    readings = belief.readings
    situation = guard.run(
        "situation", lambda: situation_of(basis.stay, readings), lambda: unknown_situation(readings.time)
    )

    def moored() -> LineHistory:
        return line_history(
            basis.stay,
            basis.arrangement,
            memory.lengths,
            situation,
            placed[3],
            running=memory.hearing is not None,
            misled=misled_at(readings),
            cells=Cells.of(basis.stay, basis.arrangement, readings),
            changed_at=memory.lengths_changed_at,
            stay_file=as_written.stay,
        )

    lines = guard.run(
        "lines", moored, lambda: LineHistory(memory.lengths, (), nothing_known(basis.arrangement, situation))
    )
    states, lengths = lines.hold, lines.lengths
    basis = altered(as_written, lengths.deck)
    gone = {line for line, is_gone in zip(basis.arrangement.ids, lengths.gone, strict=True) if is_gone}
    watchlist_before, dropped = of_rules(memory.watchlist, rules_of_lines_out(basis.rules, gone))
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
    holding = _holding(basis, memory.held, situation, states, guard)
    by_witnesses = _with_holding(basis, memory.held_by_witness or memory.held, others.by_witnesses, guard)
    if_slipped = _with_holding(basis, memory.held_if_slipped or memory.held, others.if_slipped, guard)
    others = replace(others, by_witnesses=by_witnesses, if_slipped=if_slipped)
    shown = OtherState(situation, states, BY_LENGTHS, holding)
    worse = guard.run("holding", lambda: worse_holding(basis, judged, shown, others), lambda: holding)

    def assessed() -> Alerted:
        findings = findings_of(basis, judged, situation, states, guard.calculation_failed, around.unrecorded)
        findings = replace(
            findings,
            next_limits=around.next_limits,
            clock_ahead_s=around.clock_ahead_s,
            parted_at=lengths.parted_at(),
            holding=worse.share,
            weak=worse.weak,
            holding_gust=worse.gust_share,
            filling=around.filling,
            over_brake=None if lines.slipped is None else lines.slipped.over,
            call_fault=around.call_fault,
            ranges=ranges,
        )
        return alerted(basis, watchlist_before, findings, actions, guard, others.findings(basis, judged))

    assessment, watchlist, alert_events = guard.run(
        "alerts", assessed, lambda: only_failed(basis, watchlist_before, readings)
    )
    last = readings.rows(len(readings) - 1, len(readings))
    heard = guard.run("feeds", lambda: hearing(last)[0], lambda: memory.hearing)
    feed = guard.run(
        "feeds",
        lambda: (
            *feed_events(basis.stay, memory.hearing, readings, guard.say),
            *sender_events(readings, guard.say),
        ),
        lambda: (),
    )
    over = [cleared(each, now) for each in dropped]
    noted = _noted(basis, memory, now, actions)
    events = in_order((*noted, *placed[2], *lines.events, *over, *feed, *alert_events))
    after = Memory(
        lengths,
        watchlist,
        holding.last,
        heard,
        belief.residuals,
        memory.foresight,
        belief.memory,
        readings.feeds.memory,
        _last_held(by_witnesses),
        _last_held(if_slipped) if lengths.brakes.questions else None,
        changed_at[-1],
        motion,
        by_hand,
        forecast_after(memory.wind_forecast, actions, float(readings.time[0])),
    )
    block = Block(readings, situation, states, assessment, events, guard.trace)
    return after, replace(
        block,
        unrecorded=around.unrecorded,
        filling=around.filling,
        call_fault=around.call_fault,
        next_limits=around.next_limits,
        doubts=belief.doubts(len(readings) - 1),
        others=others,
        ranges=ranges,
        weak=NO_WEAK_SPOT if worse.weak is None else worse.weak[-1],
    )


def _placed(memory: Memory, placed: Places) -> Memory:
    """Return the memory with places of lines as they are now; what was held with other lines is no answer."""
    lengths, changed_at = placed[:2]
    if lengths is memory.lengths:
        return memory
    memory = replace(memory, held=None, held_by_witness=None, held_if_slipped=None)
    return replace(memory, lengths=lengths, lengths_changed_at=changed_at)


def _holding(
    basis: Basis, before: Held | None, situation: Situation, states: Hold, guard: Guard
) -> HoldingNow:
    """Return the wind against what is held, where a rule asks and the lines are known."""
    if not basis.watches_holding or "lines" in guard.failed:
        return HoldingNow()
    return guard.run(
        "holding",
        lambda: holding_now(basis.arrangement, basis.criteria, situation, states, before),
        HoldingNow,
    )


def _with_holding(
    basis: Basis, before: Held | None, other: OtherState | None, guard: Guard
) -> OtherState | None:
    """Return another state with the wind against what is held in it."""
    if other is None:
        return None
    return replace(other, holding=_holding(basis, before, other.situation, other.hold, guard))


def _last_held(other: OtherState | None) -> Held | None:
    return None if other is None else other.holding.last


def _believed(
    basis: Basis,
    memory: Memory,
    readings: Readings,
    actions: Sequence[Action],
    around: Circumstances,
    by_hand: HandReadings,
) -> Belief:
    before = memory.plausibility
    return believed(basis.witnesses, before, memory.residuals, readings, actions, around.closed, by_hand)


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


def _noted(basis: Basis, memory: Memory, now: float, actions: Sequence[Action]) -> tuple[Event, ...]:
    display = basis.stay.display
    events = list(reading_events(memory.by_hand, now, actions, display))
    events += forecast_events(memory.wind_forecast, now, actions, display)
    for action in actions:
        if isinstance(action, Note):
            text = f"{action.text} ({action.by})" if action.by else action.text
            events.append(Event(now, "note", text=text))
        elif isinstance(action, TakeOver):
            by = f" by {action.by}" if action.by else ""
            events.append(Event(now, "watch_taken", subject=HAND_OVER, text=f"Watch taken over{by}"))
        elif isinstance(action, JudgeChannel):
            right = "right" if action.right == "gauge" else "wrong"
            by = f" ({action.by})" if action.by else ""
            text = f"Looked: gauge {channel_words(action.channel)} is {right}{by}"
            events.append(Event(now, "accepted", subject=action.channel, text=text))
    return tuple(events)
