"""A moment of a recorded stay: all that went before it is played through."""

from pathlib import Path

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present, when_fast
from alongside.forecast.present import Present
from alongside.forecast.progress import Seen, unseen
from alongside.units import iso_time


def present_of(basis: Basis, log: Path | None, at: float | None, seen: Seen = unseen) -> Present:
    """Return the instant `at` of a log, or of the plan alone: by default when the last line is made fast.
    Raises WrongInput for a time outside the log, or a log without a time."""
    if log is None:
        return planned_present(basis.stay, basis.arrangement, when_fast(basis.stay) if at is None else at)
    if at is None:
        raise WrongInput(f"{log}: at which moment? expected --at TIME")
    return present_in_log(basis, log, at, seen)


def present_in_log(basis: Basis, log: Path, at: float, seen: Seen = unseen) -> Present:
    """Return where the ship floats and which lengths are out, with all that was measured before. Raises
    WrongInput for a time outside the log."""
    # Loaded here: feeds and cycle are a quarter of all, and a moment of the plan needs none of them.
    from alongside.cycle.gauge_samples import Samples, present_at, sampled
    from alongside.runtime.log_player import Player

    player, last = Player(basis, log), None
    samples: Samples = ()
    first = player.starts_at
    for last in player.play_to(at) if at >= first else ():
        samples = sampled(samples, last)
        seen((float(last.readings.time[-1]) - first) / max(at - first, 1.0), "playing the log")
    if last is None or player.time is None or player.time < np.floor(at):
        begin = "no line with a time" if np.isnan(first) else f"it begins at {iso_time(first)}"
        end = "" if player.time is None else f" and ends at {iso_time(player.time)}"
        raise WrongInput(f"{log}: nothing at {iso_time(at)}: {begin}{end}")
    return present_at(last, player.memory, samples, basis.stay)
