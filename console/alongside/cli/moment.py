"""A moment of a recorded stay."""

from collections import deque
from pathlib import Path

import numpy as np

from alongside.cycle.advance import Block, Plan
from alongside.cycle.moment import Moment, moment_of
from alongside.errors import WrongInput
from alongside.runtime.log_player import Player
from alongside.units import iso_time


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
