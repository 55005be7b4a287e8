"""What load cells measured through a recorded stay: its log played through, or its record read."""

from dataclasses import dataclass
from math import inf
from pathlib import Path

import numpy as np

from alongside.cycle.deck.loads_read import LoadRead
from alongside.cycle.loads_measured import NOTHING_MEASURED, LoadsMeasured
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.progress import Seen, unseen
from alongside.mechanics.situation import Situation, situation_of
from alongside.readings import Floats
from alongside.record.opening import open_record
from alongside.record.states import States
from alongside.runtime.log_player import Player
from alongside.stay.model import Stay


@dataclass(frozen=True, slots=True, eq=False)
class LoadsOfStay:
    """What was measured and read through a stay, and its last instant: the stay as it then was, the situation
    (one row) and the main rope out (lines,) m."""

    stay: Stay
    measured: LoadsMeasured
    read: tuple[LoadRead, ...]
    here: Situation
    unstretched: Floats
    stay_text: str = ""
    """The stay file as a record has it; "" of a log."""


def loads_of_log(stay: Stay, log: Path, seen: Seen = unseen) -> LoadsOfStay:
    """Return what was measured in a log that is played through. Raises WrongInput for one without a time."""
    player, measured, last = Player(Basis.of(stay), log), NOTHING_MEASURED, None
    first = player.starts_at
    if np.isnan(first):
        raise WrongInput(f"{log}: no line with a time, expected sentences with TAG blocks")
    for last in player.play_to(inf):
        lines, asked = last.hold.lines, player.memory.lengths.brakes.asked
        measured = measured.added(
            player.basis.stay,
            last.readings,
            last.situation,
            lines.unstretched_m,
            lines.tension_kn,
            asked,
        )
        seen(0.0, "playing the log")
    if last is None:
        raise WrongInput(f"{log}: nothing in it, expected a log of the stay")
    lengths, n = player.memory.lengths, len(last.situation)
    here = last.situation.rows(n - 1, n)
    return LoadsOfStay(player.basis.stay, measured, lengths.loads_read, here, lengths.unstretched)


def loads_of_record(path: Path) -> LoadsOfStay:
    """Return what was measured in a stay on record. Raises WrongInput for no record, or an empty one."""
    measured, last = NOTHING_MEASURED, None
    read: tuple[LoadRead, ...] = ()
    with open_record(path) as record:
        runs = record.runs()
        if not runs:
            raise WrongInput(f"{path}: nothing on record yet, expected a stay that was watched")
        for last in record.states(dense=False):
            measured = added_states(measured, last)
        kept = record.memory_at()
        if kept is not None:
            read = kept[1].lengths.loads_read
    if last is None:
        raise WrongInput(f"{path}: no states on record yet, expected a stay that was watched")
    here, n = situation_of(last.stay, last.readings()), len(last)
    return LoadsOfStay(last.stay, measured, read, here.rows(n - 1, n), _lengths(last)[-1], runs[-1].stay_text)


def added_states(measured: LoadsMeasured, states: States) -> LoadsMeasured:
    """Return what was measured with that of states on record. A line whose brake is in question in any of
    them is left out of all."""
    readings, lines = states.readings(), states.hold().lines
    asked = [
        line.id for line in states.stay.lines if not np.isnan(states.numbers(f"ran_out_m.{line.id}")).all()
    ]
    situation = situation_of(states.stay, readings)
    return measured.added(states.stay, readings, situation, _lengths(states), lines.tension_kn, asked)


def _lengths(states: States) -> Floats:
    """Return (n, lines) main rope out, m; single precision makes no new length."""
    columns = [states.numbers(f"unstretched_m.{line.id}") for line in states.stay.lines]
    return np.stack(columns, axis=1)
