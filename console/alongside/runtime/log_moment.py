"""A moment of a recorded stay: all that went before it is played through."""

from collections.abc import Callable
from pathlib import Path

import numpy as np

from alongside.cycle.advance import Block, Memory
from alongside.cycle.gauge_samples import Trail
from alongside.cycle.moment import Moment, moment_of
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.present import Present
from alongside.runtime.log_player import Player
from alongside.units import iso_time


def moment_in_log(basis: Basis, log: Path, at: float) -> Moment:
    """Return where she floats and which lengths are out. Raises WrongInput for a time outside the log."""
    return moment_of(*_played_to(basis, log, at))


def present_in_log(basis: Basis, log: Path, at: float) -> Present:
    """Return the same with all that was heard before, for a look ahead. Raises WrongInput for a time outside
    the log."""
    trail = Trail()
    return trail.present(*_played_to(basis, log, at, trail.add))


def _played_to(
    basis: Basis, log: Path, at: float, each: Callable[[Block], object] | None = None
) -> tuple[Block, Memory]:
    """Return the last block up to a time and the memory after it; `each` is called with every block."""
    player = Player(basis, log)
    first, last = player.starts_at, None
    for last in player.play_to(at) if at >= first else ():
        if each is not None:
            each(last)
    if last is None or player.time is None or player.time < np.floor(at):
        begin = "no line with a time" if np.isnan(first) else f"it begins at {iso_time(first)}"
        end = "" if player.time is None else f" and ends at {iso_time(player.time)}"
        raise WrongInput(f"{log}: nothing at {iso_time(at)}: {begin}{end}")
    return last, player.memory
