"""How she lies: readings as they are believed, where she floats, her lines, and what they hold; what a cycle
works out before any limit is compared."""

from collections.abc import Sequence
from dataclasses import dataclass

from alongside.actions import Action
from alongside.cycle.block import Circumstances
from alongside.cycle.brakes.by_load_cell import Cells
from alongside.cycle.brakes.loads_seen import misled_at
from alongside.cycle.deck.altered import altered
from alongside.cycle.guard import Guard
from alongside.cycle.holding_by_state import HeldBefore, HoldingByState, holding_by_state
from alongside.cycle.line_history import LineHistory, line_history
from alongside.cycle.memory import Memory
from alongside.cycle.motion_range import Minutes, motion_ranges
from alongside.cycle.other_states import BY_LENGTHS, OtherState, OtherStates, other_states
from alongside.cycle.plausibility.alternative import situation_by_witnesses
from alongside.cycle.plausibility.believed import Belief, believed
from alongside.cycle.plausibility.by_hand import HandReadings
from alongside.cycle.plausibility.under_keel import situation_by_sounding
from alongside.cycle.settled_cells import lengths_changed_at, with_settled_cells
from alongside.forecast.basis import Basis
from alongside.mechanics.automatic import set_by_hand
from alongside.mechanics.hold import nothing_known
from alongside.mechanics.situation import Situation, situation_of, unknown_situation
from alongside.readings import Floats, Readings, with_unfitted
from alongside.stay.model import Stay


@dataclass(frozen=True, slots=True, eq=False)
class Mooring:
    """How she lies at n instants, before any limit is compared. `basis` is that with the lines that are out
    now; `judged` are the readings with only such load cells as have settled; `changed_at` (n, lines) UNIX
    seconds at which each length last changed."""

    basis: Basis
    belief: Belief
    judged: Readings
    situation: Situation
    lines: LineHistory
    changed_at: Floats
    ranges: Floats
    motion: Minutes
    holding: HoldingByState


def mooring_of(
    as_written: Basis,
    memory: Memory,
    readings: Readings,
    actions: Sequence[Action],
    left: Sequence[Action],
    by_hand: HandReadings,
    around: Circumstances,
    guard: Guard,
) -> Mooring:
    """Return how she lies; `left` are the actions but those by which a line is put out."""
    basis = altered(as_written, memory.lengths.deck)
    belief = _believed(basis, memory, with_unfitted(readings), actions, around, by_hand, guard)
    readings = belief.readings
    situation = guard.run(
        "situation", lambda: situation_of(basis.stay, readings), lambda: unknown_situation(readings.time)
    )
    lines = _lines(as_written.stay, basis, memory, readings, situation, left, guard)
    basis = altered(as_written, lines.lengths.deck)
    was, lengths_set = (
        set_by_hand(basis.arrangement, each)
        for each in (memory.lengths.unstretched, lines.hold.lines.unstretched_m)
    )
    changed_at = lengths_changed_at(memory.lengths_changed_at, was, lengths_set, readings.time)
    judged = with_settled_cells(basis.stay, readings, changed_at)
    ranges, motion = motion_ranges(memory.motion, was, situation, lines.hold, lengths_set)
    others = guard.run(
        "witnesses",
        lambda: other_states(
            basis,
            judged,
            situation,
            situation_by_witnesses(basis.witnesses, belief, situation),
            lines.hold,
            lines.slipped,
            situation_by_sounding(basis.witnesses, by_hand, situation),
        ),
        OtherStates,
    )
    shown = OtherState(situation, lines.hold, BY_LENGTHS)
    holding = holding_by_state(basis, _held(memory), judged, shown, others, guard)
    return Mooring(basis, belief, judged, situation, lines, changed_at, ranges, motion, holding)


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
