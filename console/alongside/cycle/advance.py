"""The cycle: readings in, everything known out. Pure: it knows no clock, file, thread or screen.

One function serves the live console (a block of one instant), replays (blocks of an hour), and every
look-ahead. The mechanics take a block at once; the alerts, which remember, are stepped only at the
instants at which something can change, which gives the same events as stepping every one.
"""

import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from math import nan
from typing import Final, TypeVar

import numpy as np

from alongside.actions import Acknowledge, Action, Note, Silence, TakeOver
from alongside.alerts.assess import assess, changed_rows
from alongside.alerts.event_text import Describe, refreshed, worded
from alongside.alerts.findings import Findings
from alongside.alerts.hearing import feed_events, hearing
from alongside.alerts.model import Alert, Event, Key, Onset, Standing, Watchlist
from alongside.alerts.phrases import anything
from alongside.alerts.rule_model import Assessment, NextLimits
from alongside.alerts.step import next_due, step
from alongside.alerts.text import NO_DETAIL, Facts, describe
from alongside.cycle.forecast_memory import ForecastMemory
from alongside.cycle.holding_share import Held, WeakSpots, holding_share
from alongside.cycle.lengths import Lengths
from alongside.cycle.line_history import Course, course_of
from alongside.forecast.basis import Basis
from alongside.forecast.tide.stand_in import Samples, with_stand_in
from alongside.mechanics.bollards import bollard_states
from alongside.mechanics.hold import nothing_known, standing_off
from alongside.mechanics.holding import NO_WEAK_SPOT, WeakSpot
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.situation import Situation, situation_of, unknown_situation
from alongside.mechanics.state import Hold
from alongside.readings import Codes, Floats, Quality, Readings, worst_quality
from alongside.stay.model import Stay
from alongside.stay.stage import Stage

LEANING: Final = ("wind_speed", "wind_from", "current_speed", "current_to")
"""Channels of what leans on the ship."""
FAILED: Final = "Calculation failed: tend by eye"
HAND_OVER: Final = "hand_over"
"""Subject of the note that the watch was taken over."""


T = TypeVar("T")
Holding = tuple[Floats | None, WeakSpots | None, Held | None]
"""What `holding_share` gives; None each where she is kept in place or nothing is known."""


class Guard:
    """Runs the parts of a cycle so that a fault of ours in one leaves only what that part gives unknown.

    `failed` names the parts that failed, `trace` is what is known of their faults. With `strict` nothing is
    guarded: the fault is raised, as a test or a run without a screen wants it.
    """

    def __init__(self, strict: bool = False) -> None:
        self._strict = strict
        self._traces: dict[str, str] = {}

    @property
    def failed(self) -> tuple[str, ...]:
        return tuple(self._traces)

    @property
    def trace(self) -> str:
        return "".join(self._traces.values())

    def run(self, part: str, deed: Callable[[], T], otherwise: Callable[[], T]) -> T:
        """Return what `deed` gives; where it fails, what `otherwise` gives."""
        if self._strict:
            return deed()
        try:
            return deed()
        except (
            Exception
        ):  # guards the watch: any fault of ours in one part becomes an alert, the rest goes on
            self._traces.setdefault(part, traceback.format_exc())
        return otherwise()

    def say(self, text: Callable[[], str], plain: Callable[[], str]) -> str:
        """Return a text; where it fails, the plain one."""
        return self.run("words", text, plain)

    def words(self, facts: Facts) -> Describe:
        """Return what words rule k at a stage; a text that fails is the plain one: cause, subject, value."""
        rules, value = facts.assessment.rules, facts.assessment.value[facts.row]

        def guarded(k: int, stage: Stage, onset: Onset) -> str:
            def plain() -> str:
                who, what = anything(facts.stay, rules[k], float(value[k]), NO_DETAIL)
                return f"{who} {what}" if stage else f"{who} back within limits"

            return self.say(lambda: describe(facts)(k, stage, onset), plain)

        return guarded


@dataclass(frozen=True, slots=True)
class Memory:
    """All that one block of cycles hands to the next."""

    lengths: Lengths
    watchlist: Watchlist = field(default_factory=Watchlist)
    held: Held | None = None
    """What the set was found to hold last; None before, or where the ship is kept in place."""
    hearing: Codes | None = None
    """(c,) `alerts.hearing` of every channel at the last instant; None before the first."""
    residuals: Samples = ()
    """(time, m) measured minus predicted level while the tide was heard last."""
    foresight: ForecastMemory | None = None
    """What a replay goes by that looks ahead as it goes; None where nothing does, or something beside it."""

    @classmethod
    def at_start(cls, stay: Stay) -> "Memory":
        return cls(Lengths.before_all(stay))

    def after_a_break(self) -> "Memory":
        """The same after some time without a cycle: inputs have to settle anew."""
        return replace(self, lengths=replace(self.lengths, good_since=nan))


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

    def told(self, event: Event) -> "Block":
        """The same block with one more event."""
        return replace(self, events=in_order((*self.events, event)))


def advance(
    basis: Basis,
    memory: Memory,
    readings: Readings,
    actions: Sequence[Action] = (),
    unrecorded: str = "",
    next_limits: NextLimits = None,
    clock_ahead_s: float = 0.0,
) -> tuple[Memory, Block]:
    """Take n instants of readings (n >= 1) into account. `actions` are what the watch did before the first
    of them and take effect at it; `unrecorded` says what could not be put on record before it, `next_limits`
    what the latest forecast expects, `clock_ahead_s` how far the clock was set back. A tide that is lost is
    replaced by what is expected of it."""
    guard = Guard(strict=True)
    return _advance(basis, memory, readings, actions, unrecorded, next_limits, clock_ahead_s, guard)


def advance_guarded(
    basis: Basis,
    memory: Memory,
    readings: Readings,
    actions: Sequence[Action] = (),
    unrecorded: str = "",
    next_limits: NextLimits = None,
    clock_ahead_s: float = 0.0,
) -> tuple[Memory, Block]:
    """As `advance`, for a watch that must live on: a fault in one part of the cycle leaves what that part
    gives not known, raises the calculation alert unless only words failed, and its trace stands in the
    block."""
    return _advance(basis, memory, readings, actions, unrecorded, next_limits, clock_ahead_s, Guard())


def _advance(
    basis: Basis,
    memory: Memory,
    readings: Readings,
    actions: Sequence[Action],
    unrecorded: str,
    next_limits: NextLimits,
    clock_ahead_s: float,
    guard: Guard,
) -> tuple[Memory, Block]:
    unfilled = memory, readings
    memory, readings = guard.run("tide", lambda: _tide_kept(basis, memory, readings), lambda: unfilled)
    situation = guard.run(
        "situation", lambda: situation_of(basis.stay, readings), lambda: unknown_situation(readings.time)
    )

    def moored() -> Course:
        running = memory.hearing is not None
        good = (situation.quality == Quality.GOOD) & (worst_quality(readings, LEANING) == Quality.GOOD)
        return course_of(basis.stay, basis.arrangement, memory.lengths, situation, actions, running, good)

    found = guard.run(
        "lines", moored, lambda: Course(memory.lengths, (), nothing_known(basis.arrangement, situation))
    )
    states, lengths = found.hold, found.lengths
    nothing: Holding = (None, None, None)
    holding = nothing
    if basis.watches_holding and "lines" not in guard.failed:
        holding = guard.run(
            "holding",
            lambda: holding_share(basis.arrangement, basis.criteria, situation, states, memory.held),
            lambda: nothing,
        )

    def alerted() -> tuple[Assessment, Watchlist, tuple[Event, ...]]:
        findings = findings_of(basis, readings, situation, states, lengths.fast, guard.failed, unrecorded)
        findings = replace(
            findings,
            next_limits=next_limits,
            clock_ahead_s=clock_ahead_s,
            holding=holding[0],
            weak=holding[1],
        )
        failed_before = guard.failed
        assessment = assess(basis.rules, findings, guard.run)
        if guard.failed != failed_before:
            # A cause that failed is known only now: once more, for the alarm that something did.
            findings = replace(findings, unanswered=_unanswered(states, True))
            assessment = assess(basis.rules, findings, guard.run)
        watchlist, events = _step_alerts(basis, memory.watchlist, findings, assessment, actions, guard)
        return assessment, watchlist, events

    def not_alerted() -> tuple[Assessment, Watchlist, tuple[Event, ...]]:
        return only_failed(basis, memory, readings)

    assessment, watchlist, alert_events = guard.run("alerts", alerted, not_alerted)
    heard = guard.run(
        "feeds", lambda: hearing(readings.rows(len(readings) - 1, len(readings)))[0], lambda: memory.hearing
    )
    told: list[Event] = [*_noted(float(readings.time[0]), actions), *found.told]
    told += guard.run(
        "feeds", lambda: feed_events(basis.stay, memory.hearing, readings, guard.say), lambda: ()
    )
    events = in_order((*told, *alert_events))
    memory = Memory(lengths, watchlist, holding[2], heard, memory.residuals, memory.foresight)
    return memory, Block(
        readings, situation, states, assessment, events, guard.trace, unrecorded, next_limits
    )


def _tide_kept(basis: Basis, memory: Memory, readings: Readings) -> tuple[Memory, Readings]:
    if basis.tide is None:
        return memory, readings
    readings, residuals = with_stand_in(basis.tide, readings, memory.residuals)
    return (memory if residuals == memory.residuals else replace(memory, residuals=residuals)), readings


def only_failed(
    basis: Basis, memory: Memory, readings: Readings
) -> tuple[Assessment, Watchlist, tuple[Event, ...]]:
    """What is left where alerting itself failed: every alert as it stood, nothing known of any rule, and the
    alarm that the calculation failed."""
    n, k = len(readings), len(basis.rules)
    codes = np.zeros((n, k), dtype=np.int8)
    assessment = Assessment(readings.time, basis.rules, np.full((n, k), nan), codes, codes)
    now = float(readings.time[-1])
    key: Key = ("calculation", "")
    if key in memory.watchlist.alerts:
        return assessment, memory.watchlist, ()
    alarm = Alert(
        *key, None, Stage.ALARM, Standing.UNACKNOWLEDGED, now, now, nan, nan, "", FAILED, owed=Stage.ALARM
    )
    watchlist = replace(memory.watchlist, alerts={**memory.watchlist.alerts, key: alarm})
    return assessment, watchlist, (Event(now, "raised", *key, Stage.ALARM, text=FAILED),)


def findings_of(
    basis: Basis,
    readings: Readings,
    situation: Situation,
    states: Hold,
    fast: Sequence[bool],
    failed: Sequence[str] = (),
    unrecorded: str = "",
) -> Findings:
    """What rules rest on, of n instants computed just now or long ago. `fast` tells which lines are made
    fast at all, `failed` which parts of the calculation did."""
    return Findings(
        stay=basis.stay,
        situation=situation,
        lines=states.lines,
        readings=readings,
        bollard_kn=bollard_states(basis.arrangement, states.lines, np.array(fast)).load_kn,
        bollards=basis.arrangement.bollard_ids,
        brake_kn=basis.arrangement.brake_kn,
        unanswered=_unanswered(states, any(part != "words" for part in failed)),
        pose=states.pose,
        off_m=standing_off(basis.arrangement, states.pose),
        unrecorded=unrecorded,
    )


def _unanswered(states: Hold, fault: bool) -> Codes:
    """(n,) why there is no answer although the inputs are known; 0 where there is one, or an input lacks."""
    ours = np.isin(states.reason, (NoAnswer.NOTHING_HOLDS, NoAnswer.NOT_BALANCED, NoAnswer.FAILED))
    codes: Codes = np.where(fault, np.int8(NoAnswer.FAILED), np.where(ours, states.reason, np.int8(0)))
    return codes


def watchlist_now(basis: Basis, memory: Memory, block: Block, guard: Guard) -> Watchlist:
    """The watchlist with values and texts of the block's last instant, for showing."""
    row = len(block.readings) - 1
    facts = Facts(
        basis.stay,
        block.assessment,
        block.readings,
        row,
        block.hold.lines,
        block.hold.pose,
        weak_spot(memory),
        block.unrecorded,
        block.next_limits or (),
    )
    return refreshed(memory.watchlist, block.assessment.at(row), guard.words(facts))


def weak_spot(memory: Memory) -> WeakSpot:
    """What would give first in a stronger wind from where it blows now, as far as it is known."""
    return NO_WEAK_SPOT if memory.held is None else memory.held.weak


def in_order(events: Sequence[Event]) -> tuple[Event, ...]:
    """Events by time; those of one instant keep the order they were told in."""
    return tuple(sorted(events, key=lambda event: event.time))


def _step_alerts(
    basis: Basis,
    watchlist: Watchlist,
    findings: Findings,
    assessment: Assessment,
    actions: Sequence[Action],
    guard: Guard,
) -> tuple[Watchlist, tuple[Event, ...]]:
    """Step the alerts at the first instant, wherever a level changes, and whenever a delay runs out."""
    times = assessment.time
    answers = [action for action in actions if isinstance(action, Acknowledge | Silence)]
    rows = np.append(changed_rows(assessment), times.size)
    events: list[Event] = []
    row = 0
    while row < times.size:
        now = float(times[row])
        watchlist, changes = step(watchlist, assessment.at(row), answers if row == 0 else ())
        if changes:
            facts = Facts(
                basis.stay,
                assessment,
                findings.readings,
                row,
                findings.lines,
                findings.pose,
                findings.weak_spot(row),
                findings.unrecorded,
                findings.next_limits or (),
            )
            watchlist, new = worded(watchlist, changes, guard.words(facts))
            events.extend(new)
        changed = int(rows[np.searchsorted(rows, row, side="right")])
        due = int(np.searchsorted(times, next_due(watchlist, now)))
        row = min(changed, max(due, row + 1))
    return watchlist, tuple(events)


def _noted(now: float, actions: Sequence[Action]) -> tuple[Event, ...]:
    events = []
    for action in actions:
        if isinstance(action, Note):
            text = f"{action.text} ({action.by})" if action.by else action.text
            events.append(Event(now, "note", text=text))
        elif isinstance(action, TakeOver):
            by = f" by {action.by}" if action.by else ""
            events.append(Event(now, "note", subject=HAND_OVER, text=f"Watch taken over{by}"))
    return tuple(events)
