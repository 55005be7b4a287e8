"""A stay as arrays: replayed from a feed log, or read from a record."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import TypeVar

import numpy as np

from alongside.alerts.assess import NOT_KNOWN, line_levels
from alongside.alerts.model import Event
from alongside.cycle.block import Block
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.mechanics.situation import situation_of
from alongside.mechanics.state import FenderStates, LineStates, Pose
from alongside.readings import Codes, Floats
from alongside.record.opening import open_record
from alongside.record.states import States
from alongside.runtime.log_player import Player
from alongside.stay.model import Stay

Arrays = TypeVar("Arrays", Pose, LineStates, FenderStates)


@dataclass(frozen=True, slots=True, eq=False)
class History:
    """n instants of a stay; NaN is not known.

    `time` (n,) UNIX s. `pose` where she lies, with tide, draughts and heel, (n,) each. `lines` (n, lines) and
    `fenders` (n, fenders) as in the output of states. `wind_ms`, `wind_from_deg` (n,). `stages` (n, lines) 0
    normal to 3 alarm, -1 not known. `events` all that happened meanwhile, in order.
    """

    line_ids: tuple[str, ...]
    time: Floats
    pose: Pose
    lines: LineStates
    fenders: FenderStates
    wind_ms: Floats
    wind_from_deg: Floats
    stages: Codes
    events: tuple[Event, ...]

    def column(self, line: str) -> int:
        """Return the column of a line in `lines` and `stages`. Raise WrongInput where there is none."""
        if line not in self.line_ids:
            raise WrongInput(f"there is no line {line!r}, expected one of {', '.join(self.line_ids)}")
        return self.line_ids.index(line)


def replay(stay: Stay, log: str | Path, every: float = 60.0) -> History:
    """Return what a recorded feed log makes of the stay, an instant every so many seconds of log time. The
    events are those that the console would have had."""
    basis, path = Basis.of(stay), Path(log)
    player = Player(basis, path)
    if np.isnan(player.starts_at):
        raise WrongInput(f"{path}: no line with a time, expected sentences with TAG blocks")
    events: list[Event] = []
    parts: list[History] = []
    due = player.starts_at
    for block in player.play_to(np.inf):
        events += block.events
        time = block.readings.time
        wanted = np.arange(due, time[-1] + 1e-6, max(every, 1.0))
        if wanted.size:
            due = float(wanted[-1]) + max(every, 1.0)
            parts.append(_of_block(basis, block, np.unique(np.searchsorted(time, wanted))))
    return _joined(tuple(line.id for line in stay.lines), parts, events)


def read_record(folder: str | Path) -> History:
    """Return what is on record, with the lines of its last stay file. Raise WrongInput for no record."""
    with open_record(Path(folder)) as record:
        runs = record.runs()
        if not runs:
            raise WrongInput(f"{folder}: nothing on record yet")
        stay = runs[-1].stay
        events = [event for _number, event in record.events()]
        parts = [_of_states(stay, states) for states in record.states()]
    return _joined(tuple(line.id for line in stay.lines), parts, events)


def _of_block(basis: Basis, block: Block, rows: np.ndarray) -> History:
    hold, situation = block.hold, block.situation
    lines = tuple(line.id for line in basis.stay.lines)
    return History(
        lines,
        block.readings.time[rows],
        _taken(hold.pose, rows),
        _taken(hold.lines, rows),
        _taken(hold.fenders, rows),
        situation.wind_speed[rows],
        situation.wind_from[rows],
        line_levels(block.assessment, lines)[rows],
        (),
    )


def _of_states(stay: Stay, states: States) -> History:
    """States of any run, in the columns of one stay: not known where they have no such line or fender."""
    lines, hold = tuple(line.id for line in stay.lines), states.hold()
    situation = situation_of(states.stay, states.readings())

    def beside(name: str, subjects: Iterable[object]) -> Floats:
        columns = [states.numbers(f"{name}.{subject}") for subject in subjects]
        return np.stack(columns, axis=1) if columns else np.zeros((len(states), 0))

    fenders = range(len(stay.berth.fenders))
    return History(
        lines,
        states.time,
        hold.pose,
        LineStates(**{each.name: beside(each.name, lines) for each in fields(LineStates)}),
        FenderStates(**{each.name: beside(each.name, fenders) for each in fields(FenderStates)}),
        situation.wind_speed,
        situation.wind_from,
        np.where(
            np.isnan(beside("tension_kn", lines)),
            NOT_KNOWN,
            np.stack([states.codes(f"stage.{line}", NOT_KNOWN) for line in lines], axis=1),
        ).astype(np.int8),
        (),
    )


def _taken(arrays: Arrays, rows: np.ndarray) -> Arrays:
    return type(arrays)(**{each.name: getattr(arrays, each.name)[rows] for each in fields(arrays)})


def _joined(lines: tuple[str, ...], parts: Sequence[History], events: Sequence[Event]) -> History:
    if not parts:
        raise WrongInput("nothing known at any instant")

    def all_of(kind: type[Arrays], name: str) -> Arrays:
        pieces = [getattr(part, name) for part in parts]
        columns = {f.name: np.concatenate([getattr(each, f.name) for each in pieces]) for f in fields(kind)}
        return kind(**columns)

    return History(
        lines,
        np.concatenate([part.time for part in parts]),
        all_of(Pose, "pose"),
        all_of(LineStates, "lines"),
        all_of(FenderStates, "fenders"),
        np.concatenate([part.wind_ms for part in parts]),
        np.concatenate([part.wind_from_deg for part in parts]),
        np.concatenate([part.stages for part in parts]),
        tuple(events),
    )
