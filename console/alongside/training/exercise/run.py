"""An exercise played with given actions, without a screen: from the same log, by the same way in."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, fields

import numpy as np
from numpy.typing import NDArray

from alongside.actions import Done
from alongside.alerts.assess import line_levels
from alongside.alerts.model import Alert, Event
from alongside.cycle.block import Block
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.mechanics.state import LineStates
from alongside.readings import Floats
from alongside.runtime.log_player import Player
from alongside.training.exercise.effects import Uncounted, effects, outside, undone
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.staging import log_source_of
from alongside.units import iso_time

PATHS_EVERY_S = 60.0


@dataclass(slots=True)
class Run:
    """What came of an exercise, from its start to its end. Columns are lines in the order of the stay file.

    `seconds` (lines, 4) at each stage, and of nothing known `unknown_s`; highest stretch and load share with
    their times, NaN where never known. `times` (m,), `paths` and `levels`, their level parts outboard (m,
    lines), and `lengths` (lines,) at the start are what rounds are planned from.

    `done` is what took effect, each at the cycle at which it did; `uncounted` what did not, and why;
    `undone` how many acts were run back by going back. `standing` are the alerts that stood when it began,
    at `start`.
    """

    basis: Basis
    start: float
    done: list[Done] = field(default_factory=list)
    uncounted: list[Uncounted] = field(default_factory=list)
    undone: int = 0
    standing: tuple[Alert, ...] = ()
    events: list[Event] = field(default_factory=list)
    seconds: Floats = field(default_factory=lambda: np.zeros((0, 4)))
    unknown_s: Floats = field(default_factory=lambda: np.zeros(0))
    stretch: Floats = field(default_factory=lambda: np.zeros(0))
    stretch_at: Floats = field(default_factory=lambda: np.zeros(0))
    load: Floats = field(default_factory=lambda: np.zeros(0))
    load_at: Floats = field(default_factory=lambda: np.zeros(0))
    lengths: Floats = field(default_factory=lambda: np.zeros(0))
    times: Floats = field(default_factory=lambda: np.zeros(0))
    paths: Floats = field(default_factory=lambda: np.zeros((0, 0)))
    levels: Floats = field(default_factory=lambda: np.zeros((0, 0)))
    end: float = float("nan")

    @property
    def lines(self) -> tuple[str, ...]:
        return self.basis.arrangement.ids


def run_exercise(exercise: Exercise, done: Sequence[Done]) -> Run:
    """Return what came of an exercise played with these actions. Raises WrongInput where its log is too
    short."""
    player = log_source_of(exercise).rewound()
    _to_start(exercise, player)
    run = Run(player.basis, exercise.start, undone=len(undone(done)))
    run.standing = tuple(player.memory.watchlist.alerts.values())
    run.uncounted += outside(exercise, done)
    totals = _Totals(run)
    for acts, block in _played(exercise, player, done):
        totals.add(block)
        if acts:
            took, refused = effects(acts, block)
            run.done += took
            run.uncounted += refused
    totals.finish()
    return run


def blocks(exercise: Exercise, player: Player, done: Sequence[Done]) -> Iterator[Block]:
    """Return blocks from the start of the exercise to its end; `done` takes effect as it would have at the
    console, without what was undone there. What comes before is played, and not returned."""
    return (block for _, block in _played(exercise, player, done))


def _to_start(exercise: Exercise, player: Player) -> None:
    """Play what comes before the exercise, where it has not been played yet."""
    first = player.starts_at if player.time is None else player.time
    if first != first or first > exercise.start:
        raise WrongInput(f"{exercise.log}: expected it to begin before {iso_time(exercise.start)}")
    for _ in player.play_to(exercise.start - 1.0):
        pass


def _played(
    exercise: Exercise, player: Player, done: Sequence[Done]
) -> Iterator[tuple[tuple[Done, ...], Block]]:
    """Return blocks, each with what was done at its first cycle."""
    _to_start(exercise, player)
    stands = [each for each in done if not each.undone]
    for at in sorted({each.time for each in stands}):
        if exercise.start <= at <= exercise.end:
            for block in player.play_to(np.ceil(at) - 1.0):
                yield (), block
            acts = tuple(each for each in stands if each.time == at)
            for block in player.play_to(player.next_time, [each.action for each in acts]):
                yield acts, block
                acts = ()
    for block in player.play_to(exercise.end):
        yield (), block
    if player.time is None or player.time < exercise.start:
        raise WrongInput(f"{exercise.log}: expected it to go on to {iso_time(exercise.end)}")


class _Totals:
    """Adds up blocks into a run."""

    def __init__(self, into: Run) -> None:
        self._run = into
        self._times: list[Floats] = []
        self._paths: list[Floats] = []
        self._levels: list[Floats] = []
        n = len(into.lines)
        into.seconds, into.unknown_s = np.zeros((n, 4)), np.zeros(n)
        into.stretch, into.stretch_at = np.full(n, np.nan), np.full(n, np.nan)
        into.load, into.load_at = np.full(n, np.nan), np.full(n, np.nan)

    def add(self, block: Block) -> None:
        run, times = self._run, block.readings.time
        n = len(run.lines)  # lines that were put out since stand behind those of the stay file
        all_lines = block.hold.lines
        lines = LineStates(**{each.name: getattr(all_lines, each.name)[:, :n] for each in fields(LineStates)})
        if not self._times:
            run.lengths = lines.unstretched_m[0].copy()
        run.events += block.events
        known = ~np.isnan(lines.tension_kn)
        levels = line_levels(block.assessment, run.lines)
        for stage in range(4):
            run.seconds[:, stage] += ((levels == stage) & known).sum(axis=0)
        run.unknown_s += (~known).sum(axis=0)
        _highest(run.stretch, run.stretch_at, lines.stretch_share, times)
        _highest(run.load, run.load_at, lines.load_share, times)
        due = times % PATHS_EVERY_S == 0.0
        self._times.append(times[due])
        self._paths.append(lines.path_m[due])
        self._levels.append(lines.level_m[due])
        run.end = float(times[-1])

    def finish(self) -> None:
        self._run.times = np.concatenate(self._times)
        self._run.paths = np.concatenate(self._paths)
        self._run.levels = np.concatenate(self._levels)


def _highest(best: Floats, at: Floats, values: Floats, times: Floats) -> None:
    """Update the highest value of each column, and its time."""
    filled = np.where(np.isnan(values), -np.inf, values)
    row = filled.argmax(axis=0)
    top = filled[row, np.arange(values.shape[1])]
    higher: NDArray[np.bool_] = (top > -np.inf) & ~(top <= best)
    best[higher], at[higher] = top[higher], times[row][higher]
