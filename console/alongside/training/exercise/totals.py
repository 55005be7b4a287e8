"""What the blocks of an exercise add up to, by line of the stay file."""

from copy import copy
from dataclasses import fields
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.assess import line_levels
from alongside.alerts.model import Event
from alongside.cycle.block import Block
from alongside.mechanics.state import LineStates
from alongside.readings import Floats
from alongside.training.exercise.asked_for import OrdersCalled
from alongside.training.exercise.course import CourseMaker
from alongside.training.exercise.limits_passed import LimitsReached
from alongside.training.exercise.model import Exercise

PATHS_EVERY_S: Final = 60.0


class Totals:
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
        self.limits = LimitsReached(exercise)
        self.orders = OrdersCalled(exercise.start)

    def copied(self) -> "Totals":
        """Return a copy that adds up for itself."""
        other = copy(self)
        other.course, other.limits = self.course.copied(), self.limits.copied()
        other.orders = self.orders.copied()
        for name, value in vars(self).items():
            if isinstance(value, np.ndarray | list):
                setattr(other, name, value.copy())
        return other

    def add(self, block: Block) -> None:
        times, n = block.readings.time, self.lengths.size
        all_lines = block.hold.lines  # lines that were put out since stand behind those of the stay file
        lines = LineStates(**{each.name: getattr(all_lines, each.name)[:, :n] for each in fields(LineStates)})
        if not self.times:
            self.lengths = lines.unstretched_m[0].copy()
        self.events += block.events
        self.course.add(block.assessment)
        self.limits.add(block.situation)
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
