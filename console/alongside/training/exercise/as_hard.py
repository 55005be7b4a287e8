"""The drawn variation of a seed that asks of a watch about what the exercise asks; else it is drawn again.

It is lived through as the exercise is: by the best plan nothing may stand in alarm for longer, and what
nothing done costs more than that plan must be about as much. Each further draw uses less of its bounds, so
that one is found.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from alongside.errors import WrongInput
from alongside.training.exercise.course import Course
from alongside.training.exercise.model import Exercise, Instructed
from alongside.training.exercise.points import AT_STAKE
from alongside.training.exercise.run import Run
from alongside.training.exercise.variation import Draws, overlap, variation
from alongside.training.exercise.yardstick import Shown, Yardstick

REACHES: Final = (1.0, 0.85, 0.7, 0.55, 0.4, 0.3, 0.2, 0.1)
"""Which part of its bounds each draw uses."""
LEAST, MOST = 0.5, 2.0
"""What there is to gain, in parts of what the exercise has. Common practice, no source."""
LONGER, LONGER_S = 1.2, 120.0
"""By the best plan alarms stand no longer than so many times as long, and so much more."""
ALARM_BAR: Final = 100.0
Measure = Callable[[Exercise, Shown], Yardstick]


@dataclass(frozen=True, slots=True)
class Demand:
    """What an exercise asks: how long things stand in alarm by the best plan, s, all added up, and what there
    is to gain, in minutes by their weights."""

    alarm_s: float
    stake: float

    @classmethod
    def of(cls, measure: Yardstick) -> "Demand":
        stake = measure.nothing.course.cost - measure.best.course.cost
        return cls(_alarm_s(measure.best), max(stake, 0.0))

    def as_hard_as(self, other: "Demand") -> bool:
        """Return whether this one asks about what another asks."""
        most = max(MOST * other.stake, AT_STAKE)
        enough = self.stake >= LEAST * other.stake
        return enough and self.stake <= most and self.alarm_s <= LONGER * other.alarm_s + LONGER_S


def drawn_exercise(exercise: Exercise, seed: int, measure: Measure, shown: Shown) -> Exercise:
    """Return the variation of a seed, which follows from exercise and seed alone; what an instructor did
    stays as it was. `measure` plays an exercise and returns what it is measured by. Raises WrongInput where
    none is found."""
    live = exercise.instructed
    own = exercise.injections[: len(exercise.injections) - len(live.injections)]
    bare = replace(exercise, injections=own, instructed=Instructed())
    drawn = _as_hard(bare, seed, measure, shown)
    injections = (*drawn.injections, *live.injections)
    return replace(drawn, injections=injections, instructed=live, name=f"{exercise.name}, variation {seed}")


def _as_hard(exercise: Exercise, seed: int, measure: Measure, shown: Shown) -> Exercise:
    asked = Demand.of(measure(exercise, shown))
    for number, reach in enumerate(REACHES):
        drawn = variation(exercise, Draws(seed, number, reach))
        if overlap(drawn.injections):
            continue
        if Demand.of(measure(drawn, _named(shown, seed, number))).as_hard_as(asked):
            return drawn
    raise WrongInput(
        f"{exercise.file}: seed {seed}: no variation in {len(REACHES)} draws asks about as much as the "
        "exercise, expected another seed, or narrower bounds in its section vary"
    )


def _named(shown: Shown, seed: int, number: int) -> Shown:
    def show(part: float, words: str) -> None:
        shown(part, f"variation {seed}, draw {number + 1}: {words}")

    return show


def _alarm_s(run: Run) -> float:
    return float(run.seconds[:, -1].sum()) + _ship_alarm_s(run.course)


def _ship_alarm_s(course: Course) -> float:
    """Return how long things of the ship stood in alarm, s, by whole minutes."""
    return 60.0 * float((course.ship_bar >= ALARM_BAR).sum())
