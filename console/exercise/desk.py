"""An exercise at the console."""

from dataclasses import replace
from pathlib import Path

from console.assessment import Stage
from console.errors import WrongInput
from console.exercise.model import Exercise
from console.exercise.staging import tape_of
from console.picture import Advice, Picture
from console.rerun import ReplayDesk
from console.units import iso_time

NO_ADVICE = Advice(
    "No advice in this exercise: judge for yourself", Stage.NORMAL, "No advice in this exercise"
)


def desk_of(exercise: Exercise, speed: float = 1.0) -> ReplayDesk:
    """A desk that begins with the exercise. What was done at it stands in `done`.

    Raises WrongInput where the log does not hold its beginning.
    """

    def shown(picture: Picture) -> Picture:
        return picture if exercise.shows.advice else replace(picture, advice=NO_ADVICE)

    tape = tape_of(exercise)
    first = tape.rewound().starts_at
    if first != first or first > exercise.start:
        raise WrongInput(f"{exercise.log}: expected it to begin before {iso_time(exercise.start)}")
    return ReplayDesk(
        tape.plan.stay,
        Path(exercise.log),
        speed=speed,
        start=exercise.start,
        tape=tape,
        shown=shown,
        looks_ahead=exercise.shows.outlook,
    )
