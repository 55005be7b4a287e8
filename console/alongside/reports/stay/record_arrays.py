"""A record read into arrays and lists, from which the report is made."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.model import Event
from alongside.errors import WrongInput
from alongside.mechanics.situation import situation_of
from alongside.readings import Codes, Floats
from alongside.record.chain import Chain
from alongside.record.entries import Run
from alongside.record.opening import stood_s
from alongside.record.pieces import Missing
from alongside.record.reader import Done, RecordReader
from alongside.record.states import States
from alongside.reports.stay.beside_computed import BESIDE, beside_computed
from alongside.stay.model import Line, Stay

Singles = NDArray[np.float32]

SHIP: Final = (
    "tide",
    "draught_fwd",
    "draught_aft",
    "trim",
    "heel_deg",
    "surge",
    "sway",
    "wind_ms",
    "wind_gust_ms",
    "wind_from_deg",
    "current_ms",
    "current_to_deg",
)
OF_LINES: Final = (
    "tension_kn",
    "load_share",
    "stretch_share",
    "vertical_deg",
    "elongation_pct",
    "unstretched_m",
    *BESIDE,
)
NOT_KNOWN: Final = -1
"""Stage of a line of which nothing is known at that instant."""


@dataclass(frozen=True, slots=True, eq=False)
class RecordArrays:
    """One record. Arrays run over all n states kept, in order of time; NaN is not known.

    `number` holds the quantities of the ship by name, and those of lines as `tension_kn.3`; `stage`
    (n, lines) is a Stage or `NOT_KNOWN`, in the order of `lines`, those of all runs as the last one has them.
    `even` marks the states that lie evenly; `run` is the place of each state's run in `runs`.
    """

    folder: Path
    runs: tuple[Run, ...]
    begin: float
    end: float
    time: Floats
    stands: Floats
    even: NDArray[np.bool_]
    run: NDArray[np.int16]
    number: Mapping[str, Singles]
    stage: Codes
    lines: tuple[Line, ...]
    events: tuple[Event, ...]
    actions: tuple[Done, ...]
    chain: Chain
    missing: Missing

    @property
    def stay(self) -> Stay:
        """The stay of the last run."""
        return self.runs[-1].stay

    @property
    def starts(self) -> int:
        """Return how often a console was started: a run begins then, and where lines are other ones since."""
        begun = sum(event.event == "started" for event in self.events)
        return begun or len(self.runs)

    def of(self, quantity: str, line: str) -> Singles:
        """Return (n,) a quantity of a line."""
        return self.number[f"{quantity}.{line}"]


def read_arrays(record: RecordReader) -> RecordArrays:
    """Return all of a record. Raises WrongInput for one that is still empty."""
    span, runs = record.span(), record.runs()
    if span is None or not runs:
        raise WrongInput(f"{record.folder}: nothing on record yet, expected a stay that was watched")
    lines = lines_of(runs)
    pieces = [_piece(states, runs, lines) for states in record.states()]
    time = np.concatenate([np.zeros(0), *(piece.time for piece in pieces)])
    names = [*SHIP, *(f"{quantity}.{line.id}" for quantity in OF_LINES for line in lines)]
    empty = np.zeros(0, dtype=np.float32)
    return RecordArrays(
        folder=record.folder,
        runs=runs,
        begin=span[0],
        end=span[1],
        time=time,
        stands=stood_s(time),
        even=np.isin(time, _even_times(record)),
        run=np.concatenate([np.zeros(0, np.int16), *(piece.run for piece in pieces)]),
        number={name: np.concatenate([empty, *(piece.number[name] for piece in pieces)]) for name in names},
        stage=np.concatenate([np.zeros((0, len(lines)), np.int8), *(piece.stage for piece in pieces)]),
        lines=lines,
        events=tuple(event for _, event in record.events()),
        actions=tuple(record.actions()),
        chain=record.chain(),
        missing=record.missing(),
    )


def lines_of(runs: Iterable[Run]) -> tuple[Line, ...]:
    """Return every line of any run, as the last run with that line has it, in order of first appearance."""
    lines = {line.id: line for run in runs for line in run.stay.lines}
    return tuple(lines.values())


@dataclass(frozen=True, slots=True, eq=False)
class _Piece:
    time: Floats
    run: NDArray[np.int16]
    number: Mapping[str, Singles]
    stage: Codes


def _piece(states: States, runs: tuple[Run, ...], lines: tuple[Line, ...]) -> _Piece:
    at = _run_of(states, runs)
    number: dict[str, Floats] = _ship(states)
    beside, nothing = beside_computed(states), np.full(len(states), np.nan)
    for name in (f"{quantity}.{line.id}" for quantity in OF_LINES for line in lines):
        is_beside = name.startswith(BESIDE)
        number[name] = beside.get(name, nothing) if is_beside else states.numbers(name)
    return _Piece(
        states.time,
        np.full(len(states), at, dtype=np.int16),
        {name: column.astype(np.float32) for name, column in number.items()},
        np.stack([_stage(states, line.id) for line in lines], axis=1),
    )


def _run_of(states: States, runs: tuple[Run, ...]) -> int:
    """The run of a piece of states: the last that had begun by then on the same stay file."""
    begun = [at for at, run in enumerate(runs) if run.stay == states.stay and run.started <= states.time[-1]]
    return begun[-1] if begun else len(runs) - 1


def _ship(states: States) -> dict[str, Floats]:
    situation = situation_of(states.stay, states.readings())
    return {
        "tide": situation.tide,
        "draught_fwd": situation.draught_fwd,
        "draught_aft": situation.draught_aft,
        "trim": situation.draught_aft - situation.draught_fwd,
        "heel_deg": situation.heel_deg if situation.heel_measured else np.full(len(states), np.nan),
        "surge": states.numbers("surge"),
        "sway": states.numbers("sway"),
        "wind_ms": situation.wind_speed,
        "wind_gust_ms": situation.wind_gust,
        "wind_from_deg": situation.wind_from,
        "current_ms": situation.current_speed,
        "current_to_deg": situation.current_to,
    }


def _stage(states: States, line: str) -> Codes:
    known = np.isfinite(states.numbers(f"tension_kn.{line}"))
    stage: Codes = np.where(known, states.codes(f"stage.{line}", NOT_KNOWN), NOT_KNOWN).astype(np.int8)
    return stage


def _even_times(record: RecordReader) -> Floats:
    pieces = [states.time for states in record.states(dense=False)]
    return np.concatenate([np.zeros(0), *pieces])
