"""An exercise played with given actions, without a screen: from the same log, by the same way in."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from alongside.actions import Done
from alongside.alerts.assess import line_levels
from alongside.alerts.model import Alert, Event
from alongside.cycle.block import Block
from alongside.cycle.memory import Memory
from alongside.errors import WrongInput
from alongside.mechanics.state import LineStates
from alongside.readings import Floats
from alongside.runtime.log_player import Player
from alongside.training.exercise.answers import as_met, as_read, deeds_of, met_by, without_effect
from alongside.training.exercise.course import Course, CourseMaker
from alongside.training.exercise.crew import Work
from alongside.training.exercise.effects import Uncounted, effects, outside, undone
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.staging import log_source_of
from alongside.units import iso_time

PATHS_EVERY_S = 60.0


Seen = Callable[[float], None]
"""Told from time to time which part, 0 to 1, has been played."""


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """What came of an exercise, from its start to its end. `lines` are those of the stay file, in its order;
    so are columns.

    `seconds` (lines, 4) at each stage, and of nothing known `unknown_s`; highest stretch and load share with
    their times, NaN where never known. `times` (m,), `paths` and `levels`, their level parts outboard (m,
    lines), and `lengths` (lines,) at the start are what rounds are planned from.

    `works` is what became of each order; `done` what took effect, each at the cycle at which it did;
    `uncounted` what did not, and why; `undone` how many acts were run back by going back. `standing` are the
    alerts that stood when it began, at `start`.
    """

    lines: tuple[str, ...]
    start: float
    end: float
    works: tuple[Work, ...]
    done: tuple[Done, ...]
    uncounted: tuple[Uncounted, ...]
    undone: int
    standing: tuple[Alert, ...]
    events: tuple[Event, ...]
    seconds: Floats
    unknown_s: Floats
    stretch: Floats
    stretch_at: Floats
    load: Floats
    load_at: Floats
    lengths: Floats
    times: Floats
    paths: Floats
    levels: Floats
    course: Course


@dataclass(frozen=True, slots=True, eq=False)
class Beginning:
    """How things stand as an exercise begins: the memory after the last cycle before it, at `time`; None
    where its log begins with it."""

    time: float | None
    memory: Memory


def unseen(part: float) -> None:
    """Show nothing."""


def beginning_of(exercise: Exercise, seen: Seen = unseen) -> Beginning:
    """Play what comes before an exercise; return how things stand then. Raises WrongInput where its log
    begins too late."""
    player = log_source_of(exercise).rewound()
    play_to_start(exercise, player, seen)
    return Beginning(player.time, player.memory)


def player_of(exercise: Exercise, beginning: Beginning | None = None) -> Player:
    """Return a player of an exercise, where its beginning is known one that goes on from there."""
    source = log_source_of(exercise)
    if beginning is None or beginning.time is None:
        return source.rewound()
    return source.resumed(beginning.memory, beginning.time)


def run_exercise(
    exercise: Exercise, done: Sequence[Done], beginning: Beginning | None = None, seen: Seen = unseen
) -> Run:
    """Return what came of an exercise played with these orders, from its beginning where that is known: the
    same, sooner. Raises WrongInput where its log is too short."""
    works = met_by(exercise, done)
    world = as_met(exercise, works)
    player = player_of(world, beginning)
    play_to_start(world, player)
    lines, standing = player.basis.arrangement.ids, tuple(player.memory.watchlist.alerts.values())
    totals = _Totals(lines, exercise)
    took_effect: list[Done] = []
    uncounted = outside(exercise, done) + without_effect(works, exercise.end)
    for acts, block in _played(world, player, works):
        totals.add(block)
        if acts:
            took, refused = effects(acts, block)
            took_effect += took
            uncounted += refused
        seen((totals.end - exercise.start) / (exercise.end - exercise.start))
    return Run(
        lines,
        exercise.start,
        totals.end,
        works,
        tuple(took_effect),
        tuple(uncounted),
        len(undone(done)),
        standing,
        tuple(totals.events),
        totals.seconds,
        totals.unknown_s,
        totals.stretch,
        totals.stretch_at,
        totals.load,
        totals.load_at,
        totals.lengths,
        np.concatenate(totals.times),
        np.concatenate(totals.paths),
        np.concatenate(totals.levels),
        totals.course.course(),
    )


def blocks(exercise: Exercise, player: Player, done: Sequence[Done]) -> Iterator[Block]:
    """Return blocks from the start of the exercise to its end; orders are carried out as they would have been
    at the console, without what was undone there. What comes before is played, and not returned. `player` is
    of the exercise as it was met."""
    return (block for _, block in _played(exercise, player, met_by(exercise, done)))


def play_to_start(exercise: Exercise, player: Player, seen: Seen = unseen) -> None:
    """Play what comes before the exercise, where it has not been played yet."""
    first = player.starts_at if player.time is None else player.time
    if first != first or first > exercise.start:
        raise WrongInput(f"{exercise.log}: expected it to begin before {iso_time(exercise.start)}")
    for block in player.play_to(exercise.start - 1.0):
        seen((float(block.readings.time[-1]) - first) / (exercise.start - first))


def _played(
    exercise: Exercise, player: Player, works: Sequence[Work]
) -> Iterator[tuple[tuple[Done, ...], Block]]:
    """Return blocks, each with what was done at its first cycle; `exercise` is as it was met."""
    play_to_start(exercise, player)
    deeds = [as_read(exercise, each) for each in deeds_of(works, exercise.end)]
    for at in sorted({each.time for each in deeds}):
        if exercise.start <= at <= exercise.end:
            for block in player.play_to(np.ceil(at) - 1.0):
                yield (), block
            acts = tuple(each for each in deeds if each.time == at)
            for block in player.play_to(player.next_time, [each.action for each in acts]):
                yield acts, block
                acts = ()
    for block in player.play_to(exercise.end):
        yield (), block
    if player.time is None or player.time < exercise.start:
        raise WrongInput(f"{exercise.log}: expected it to go on to {iso_time(exercise.end)}")


class _Totals:
    """What blocks add up to, by line of the stay file."""

    def __init__(self, names: tuple[str, ...], exercise: Exercise) -> None:
        self.course = CourseMaker(names, exercise.start, exercise.end)
        self._names, lines = names, len(names)
        self.events: list[Event] = []
        self.times: list[Floats] = []
        self.paths: list[Floats] = []
        self.levels: list[Floats] = []
        self.seconds, self.unknown_s = np.zeros((lines, 4)), np.zeros(lines)
        self.stretch, self.stretch_at = np.full(lines, np.nan), np.full(lines, np.nan)
        self.load, self.load_at = np.full(lines, np.nan), np.full(lines, np.nan)
        self.lengths = np.full(lines, np.nan)
        self.end = np.nan

    def add(self, block: Block) -> None:
        times, n = block.readings.time, self.lengths.size
        all_lines = block.hold.lines  # lines that were put out since stand behind those of the stay file
        lines = LineStates(**{each.name: getattr(all_lines, each.name)[:, :n] for each in fields(LineStates)})
        if not self.times:
            self.lengths = lines.unstretched_m[0].copy()
        self.events += block.events
        self.course.add(block.assessment)
        known = ~np.isnan(lines.tension_kn)
        levels = line_levels(block.assessment, self._names)
        for stage in range(4):
            self.seconds[:, stage] += ((levels == stage) & known).sum(axis=0)
        self.unknown_s += (~known).sum(axis=0)
        _highest(self.stretch, self.stretch_at, lines.stretch_share, times)
        _highest(self.load, self.load_at, lines.load_share, times)
        due = times % PATHS_EVERY_S == 0.0
        self.times.append(times[due])
        self.paths.append(lines.path_m[due])
        self.levels.append(lines.level_m[due])
        self.end = float(times[-1])


def _highest(best: Floats, at: Floats, values: Floats, times: Floats) -> None:
    """Update the highest value of each column, and its time."""
    filled = np.where(np.isnan(values), -np.inf, values)
    row = filled.argmax(axis=0)
    top = filled[row, np.arange(values.shape[1])]
    higher: NDArray[np.bool_] = (top > -np.inf) & ~(top <= best)
    best[higher], at[higher] = top[higher], times[row][higher]
