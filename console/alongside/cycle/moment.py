"""One moment of a stay: where she floats and which lengths are out, to ask questions about."""

from dataclasses import dataclass

from alongside.cycle.advance import Block, Memory
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_lengths, planned_situation
from alongside.mechanics.situation import Situation
from alongside.readings import Floats


@dataclass(frozen=True, slots=True)
class Moment:
    """One instant: `situation` has one row, `unstretched` (lines,) is NaN for a line not made fast then."""

    situation: Situation
    unstretched: Floats


def moment_of(block: Block, memory: Memory) -> Moment:
    """The last instant of a block."""
    last = len(block.situation)
    return Moment(block.situation.rows(last - 1, last), memory.lengths.unstretched)


def moment_planned(basis: Basis, at: float) -> Moment:
    """The moment at a time as the stay file plans it, without any feed. WrongInput says what the plan
    lacks."""
    lengths = planned_lengths(basis.stay, basis.arrangement, at)
    return Moment(planned_situation(basis.stay, at), lengths)
