"""One moment of a stay: where she floats and which lengths are out, to ask questions about."""

from collections import deque
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from alongside.cycle.advance import Block, Memory, Plan
from alongside.errors import WrongInput
from alongside.forecast.before_arrival import planned_lengths, planned_situation
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.runtime.log_player import Player
from alongside.units import iso_time


@dataclass(frozen=True, slots=True)
class Moment:
    """One instant: `situation` has one row, `unstretched` (lines,) is NaN for a line not made fast then."""

    situation: Situation
    unstretched: Floats


def moment_in_log(plan: Plan, log: Path, at: float) -> Moment:
    """The moment of a recorded stay at a time, all that went before played through. Raises WrongInput for a
    time outside the log."""
    player = Player(plan, log)
    first = player.starts_at
    blocks = deque(player.play_to(at), maxlen=1) if at >= first else deque[Block]()
    if not blocks or player.time is None or player.time < np.floor(at):
        begin = "no line with a time" if np.isnan(first) else f"it begins at {iso_time(first)}"
        end = "" if player.time is None else f" and ends at {iso_time(player.time)}"
        raise WrongInput(f"{log}: nothing at {iso_time(at)}: {begin}{end}")
    return moment_of(blocks[0], player.memory)


def moment_of(block: Block, memory: Memory) -> Moment:
    """The last instant of a block."""
    last = len(block.situation)
    return Moment(block.situation.rows(last - 1, last), memory.lengths.unstretched)


def moment_planned(plan: Plan, at: float) -> Moment:
    """The moment at a time as the stay file plans it, without any feed. WrongInput says what the plan
    lacks."""
    lengths = planned_lengths(plan.stay, plan.arrangement, at)
    return Moment(planned_situation(plan.stay, at), lengths)
